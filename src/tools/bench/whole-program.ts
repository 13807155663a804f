/** Start-up with a long journal, and memory with a long queue: the real program in its own process. */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type RunningProgram, startProgram } from "./program.js";
import { atMost, type BenchRow, median } from "./row.js";
import { writeHistory, writeWaiting } from "./seeded-journal.js";

const COUNT = 10_000;
const STARTS = 5;
const START_LIMIT_MS = 1_500;
const MEMORY_LIMIT_MEGABYTES = 180;

export async function wholeProgram(): Promise<readonly BenchRow[]> {
  return [await startUp(), await memory()];
}

async function startUp(): Promise<BenchRow> {
  const taken = await inFolder(async (folder) => {
    await writeHistory(folder, COUNT);
    const times: number[] = [];
    for (let index = 0; index < STARTS; index++)
      times.push(await withProgram(folder, async (program) => program.answeredMs));
    return times;
  });
  return atMost(`start to first answer, ${COUNT} events`, median(taken), "ms", START_LIMIT_MS);
}

async function memory(): Promise<BenchRow> {
  const resident = await inFolder(async (folder) => {
    await writeWaiting(folder, COUNT);
    return withProgram(folder, async (program) => program.residentMegabytes());
  });
  return atMost(`resident memory, ${COUNT} requests`, resident, "MB", MEMORY_LIMIT_MEGABYTES);
}

async function inFolder<Result>(work: (folder: string) => Promise<Result>): Promise<Result> {
  const folder = mkdtempSync(join(tmpdir(), "nightslate-bench-"));
  try {
    return await work(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function withProgram<Result>(
  folder: string,
  work: (program: RunningProgram) => Promise<Result>,
): Promise<Result> {
  const program = await startProgram(folder, "/queue");
  try {
    return await work(program);
  } finally {
    await program.stop();
  }
}
