/** A small class rush against enforced rate limits: the whole product in its own process (figures: npm run bench). */
import { type ChildProcess, fork } from "node:child_process";
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, expect, it } from "vitest";
import type { BotReport, LoadReport } from "../../../src/tools/bench/discord-load.js";
import { eventually } from "../../eventually.js";
import type { LoadQuestion, Opened } from "./load-stand-in.js";

const COMPILED = "dist/with-tests";
const STUDENTS = 40;
const children: ChildProcess[] = [];

afterEach(() => {
  for (const child of children.splice(0)) child.kill("SIGKILL");
});

it("acknowledges everyone, records every request, and tells every notice once, in merged messages", async () => {
  const platform = child("load-stand-in.js");
  const { opened } = await heard<{ opened: Opened }>(platform, "opened");
  const bot = child("load-bot.js", JSON.stringify([opened, mkdtempSync(join(tmpdir(), "nightslate-load-"))]));
  await heard(bot, "ready");
  await ask(platform, { load: { students: STUDENTS, withinMs: 1_000 } }, "loaded");
  await ask(platform, { cancel: true }, "cancelled");
  const ours = await eventually(async () => {
    const { report } = await ask<{ report: BotReport }>(bot, { report: true }, "report");
    expect(report.delivered).toBe(report.notices);
    return report;
  });
  const { report: theirs } = await ask<{ report: LoadReport }>(platform, { report: true }, "report");
  expect(theirs.acknowledged).toBe(theirs.interactions);
  expect(ours).toMatchObject({ requests: STUDENTS, dropped: 0 });
  expect(theirs.doubled).toBe(0);
  expect(theirs.messages).toBeLessThanOrEqual(ours.notices);
});

function child(file: string, ...args: string[]): ChildProcess {
  const made = fork(join(COMPILED, "tests/chat/discord", file), args, {
    stdio: ["ignore", "ignore", "inherit", "ipc"],
  });
  children.push(made);
  return made;
}

function heard<T>(from: ChildProcess, key: string): Promise<T> {
  return new Promise((done) => {
    const hear = (message: object): void => {
      if (!(key in message)) return;
      from.off("message", hear);
      done(message as T);
    };
    from.on("message", hear);
  });
}

function ask<T>(of: ChildProcess, question: LoadQuestion, key: string): Promise<T> {
  const answer = heard<T>(of, key);
  of.send(question);
  return answer;
}
