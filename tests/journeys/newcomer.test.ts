/** A newcomer's first minute, in the real program. */
import { existsSync, statSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { Program, temporaryFolder } from "./program.js";

const FAST = ["--speed", "600"];
let folder: ReturnType<typeof temporaryFolder>;
const programs: Program[] = [];

function begin(...args: string[]): Program {
  const program = new Program(["--data", folder.path, ...args]);
  programs.push(program);
  return program;
}

beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(async () => {
  for (const program of programs.splice(0)) {
    program.kill();
    await program.exited;
  }
  folder.remove();
});

/** The first target of tonight's list: something is up at any season and hour. */
async function upNow(program: Program): Promise<string> {
  const [, line] = await program.ask("/tonight", /Ask for [^:]+: \/request ([^\n]+?)(?: {3}|\n)/);
  return line as string;
}

test("asks, hears when, sees it taken, is told that it completed, with a preview on disk; a kill in between loses and repeats nothing", async () => {
  // At the usual pace: faster, it may be done before /when is typed.
  const first = begin();
  await first.shows(/nothing real moves, and every frame is SIMULATED/);
  await first.shows(/running 60 times faster than real time/);
  const target = await upNow(first);
  const [, number] = await first.ask(`/request ${target} clear 13 1`, /[✓!] #(\d+) /);
  await first.ask("/when", new RegExp(`#${number} `));
  await first.shows(new RegExp(`◆ #${number} .*: the telescope is moving`));
  const second = begin();
  expect((await second.exited).code, "a second process on the same folder").toBe(1);
  expect(second.output.trim().split("\n")).toHaveLength(1);
  expect(second.output).toContain(folder.path);
  first.kill("SIGKILL");
  await first.exited;
  const third = begin(...FAST);
  const [, picture] = await third.shows(
    new RegExp(`◆ #${number} .*: done, 1 usable frame[\\s\\S]*?Picture: (\\S+\\.png)`),
  );
  expect(third.output).not.toMatch(new RegExp(`#${number} [^\\n]*: the telescope is moving`));
  expect(statSync(picture as string).size).toBeGreaterThan(5_000);
  expect(existsSync(join(folder.path, "journal.db"))).toBe(true);
  expect(await third.leave()).toBe(0);
});

test("a hold stops the next take at once, says that it is no interlock, and resuming goes on", async () => {
  const program = begin(...FAST, "--as", "instructor");
  await program.ask("/hold people in the dome", /On hold[\s\S]*no interlock/);
  const target = await upNow(program);
  const [, number] = await program.ask(`/request ${target} clear 13 1`, /[✓!] #(\d+) /);
  const from = program.output.length;
  await program.ask("/queue", /On hold until staff resume/);
  expect(program.output.slice(from)).not.toMatch(new RegExp(`#${number} .*: the telescope is moving`));
  await program.ask("/resume", new RegExp(`#${number} .*: the telescope is moving`));
});

test("a broken configuration is one sentence that names key, value and what is allowed", async () => {
  const program = begin("--config", "tests/journeys/broken.yaml");
  expect((await program.exited).code).toBe(1);
  expect(program.output).toContain("latitudeDegrees: 142.5 is not allowed; allowed: at most 90.");
  expect(program.output).not.toContain("    at ");
});

test("a mistyped argument is told what is possible", async () => {
  const program = begin("--sped", "60");
  expect((await program.exited).code).toBe(1);
  expect(program.output).toContain("--speed N");
});
