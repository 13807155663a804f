/** A real process that keeps asking, watched line by line. */
import { type ChildProcessByStdio, spawn } from "node:child_process";
import { createInterface } from "node:readline";
import type { Readable } from "node:stream";
import { fileURLToPath } from "node:url";

const SCRIPT = fileURLToPath(new URL("keep-asking.mjs", import.meta.url));

export interface Child {
  readonly process: ChildProcessByStdio<null, Readable, null>;
  /** What it printed, from the first line to its end. */
  readonly lines: AsyncIterable<string>;
}

/** Starts a process on a folder; `run` marks its requests. */
export function startAsking(folder: string, run: string, plant = ""): Child {
  const child = spawn(process.execPath, [SCRIPT, folder, run, plant], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  return { process: child, lines: createInterface({ input: child.stdout }) };
}

/** Kills the process (signal 9) when it has acknowledged `count` requests; all that it acknowledged by its end. */
export async function killAfter(child: Child, count: number): Promise<Acknowledged[]> {
  const acknowledged: Acknowledged[] = [];
  for await (const line of child.lines) {
    const [number, note] = line.split(" ");
    if (note === undefined || Number.isNaN(Number(number))) continue;
    acknowledged.push({ number: Number(number), note });
    if (acknowledged.length === count) child.process.kill("SIGKILL");
  }
  return acknowledged;
}

export interface Acknowledged {
  readonly number: number;
  readonly note: string;
}
