/** Five hundred frames put into the watched folder at once: nobody waits for an answer, and memory is bounded. */
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { systemClock } from "../../base/clock.js";
import { SECOND } from "../../base/units.js";
import { encodeFits } from "../../telescope/frames/fits.js";
import { EXAMPLE_FILE } from "./example.js";
import { type RunningProgram, startProgram } from "./program.js";
import { atMost, type BenchRow, figure } from "./row.js";
import { writeWaiting } from "./seeded-journal.js";

const FRAMES = 500;
const FRAMES_OF_ONE = 20;
/** Of a frame's side. */
const PIXELS = 256;
const CALLS_BEFORE = 100;
const LIMIT_MS = 100;
const LIMIT_MEGABYTES = 300;
/** On a busy machine what is left of them is not waited for. */
const LONGEST = 150 * SECOND;

export async function folderBurst(): Promise<readonly BenchRow[]> {
  const folder = mkdtempSync(join(tmpdir(), "nightslate-bench-"));
  try {
    const data = join(folder, "data");
    mkdirSync(data);
    mkdirSync(join(folder, "watched"));
    await writeWaiting(data, FRAMES / FRAMES_OF_ONE, FRAMES_OF_ONE);
    leaveFrames(join(folder, "ready"));
    const program = await startProgram(data, "/queue", ["--config", configIn(folder)]);
    try {
      return await duringBurst(folder, program);
    } finally {
      await program.stop();
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** All of them come with one rename; the same is asked before, for comparison. */
async function duringBurst(folder: string, program: RunningProgram): Promise<readonly BenchRow[]> {
  const before: number[] = [];
  while (before.length < CALLS_BEFORE) before.push(await asked(program, before.length));
  renameSync(join(folder, "ready"), join(folder, "watched", "ready"));
  const start = performance.now();
  const taken: number[] = [];
  let resident = 0;
  while (placed(folder) < FRAMES && performance.now() - start < LONGEST) {
    taken.push(await asked(program, taken.length));
    if (taken.length % 10 === 0) resident = Math.max(resident, program.residentMegabytes());
  }
  const seconds = (performance.now() - start) / SECOND;
  const name = `folder, ${FRAMES} frames at once`;
  return [
    figure(`${name}: /when before it, 99 in 100`, ninetyNinth(before), "ms"),
    atMost(`${name}: /when, 99 in 100`, ninetyNinth(taken), "ms", LIMIT_MS),
    atMost(`${name}: resident memory`, resident, "MB", LIMIT_MEGABYTES),
    figure(`${name}: kept meanwhile`, placed(folder), ""),
    figure(`${name}: watched for`, seconds, "s"),
  ];
}

/** Milliseconds to the answer. People do not all ask in the same moment. */
async function asked(program: RunningProgram, call: number): Promise<number> {
  await new Promise<void>((done) => setTimeout(done, 50));
  return program.type(`/when ${1 + (call % (FRAMES / FRAMES_OF_ONE))}`);
}

function ninetyNinth(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(0.99 * values.length)] as number;
}

/** Frames kept so far. */
function placed(folder: string): number {
  const kept = join(folder, "data", "frames");
  if (!existsSync(kept)) return 0;
  return readdirSync(kept, { recursive: true }).filter((name) => String(name).endsWith(".fits")).length;
}

/** The example with another link, and what it names beside it. */
function configIn(folder: string): string {
  const path = JSON.stringify(join(folder, "watched"));
  const link = `telescope:\n  folder: { path: ${path}, wholeSeconds: 0.5 }`;
  const file = join(folder, "folder.yaml");
  const example = readFileSync(EXAMPLE_FILE, "utf8");
  writeFileSync(file, example.replace(/^telescope:$/m, link).replace("link: practice", "link: folder"));
  copyFileSync(join(dirname(EXAMPLE_FILE), "small-bodies.txt"), join(folder, "small-bodies.txt"));
  return file;
}

function leaveFrames(folder: string): void {
  mkdirSync(folder);
  const pixels = Uint16Array.from({ length: PIXELS * PIXELS }, (_, index) => 1_000 + ((index * 7_919) % 23));
  const last = systemClock().now();
  for (let index = 0; index < FRAMES; index++) {
    const number = 1 + Math.floor(index / FRAMES_OF_ONE);
    const began = new Date(last - (FRAMES - index) * SECOND).toISOString().slice(0, -1);
    const cards = [
      { keyword: "OBJECT", value: `#${number}` },
      { keyword: "DATE-OBS", value: began },
      { keyword: "EXPTIME", value: 1 },
    ];
    const name = `light-${String(index).padStart(4, "0")}.fits`;
    writeFileSync(join(folder, name), encodeFits({ width: PIXELS, height: PIXELS, pixels }, cards));
  }
}
