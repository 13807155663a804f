/** Runs the whole program as a person would, for measurements. */
import { type ChildProcess, execFileSync, spawn } from "node:child_process";
import { fileURLToPath } from "node:url";

const MAIN = fileURLToPath(new URL("../../main.js", import.meta.url));
/** The last line of the greeting; what follows it answers what was typed. */
const GREETING_ENDS = "/quit leaves.";

export interface RunningProgram {
  /** Milliseconds from the start of the process to its first answer. */
  readonly answeredMs: number;
  /** Resident memory now, in megabytes (10⁶ bytes). */
  residentMegabytes(): number;
  /** Types a line. Milliseconds until it is answered, one line after the other. */
  type(line: string): Promise<number>;
  stop(): Promise<void>;
}

/** Starts it on a data folder, types `line`, and waits for the answer. */
export async function startProgram(
  folder: string,
  line: string,
  more: readonly string[] = ["--speed", "1"],
): Promise<RunningProgram> {
  const start = performance.now();
  const child = spawn(process.execPath, [MAIN, "--data", folder, "--no-room", ...more], {
    stdio: ["pipe", "pipe", "inherit"],
  });
  child.stdin.write(`${line}\n`);
  await answered(child);
  const answeredMs = performance.now() - start;
  return {
    answeredMs,
    residentMegabytes: () => residentMegabytes(child.pid as number),
    type: (typed) => timed(child, typed),
    stop: () => stop(child),
  };
}

function answered(child: ChildProcess): Promise<void> {
  return new Promise((done, failed) => {
    let seen = "";
    child.stdout?.on("data", (chunk: Buffer) => {
      seen += chunk.toString();
      const [, answer] = seen.split(GREETING_ENDS);
      if (answer !== undefined && answer.trim() !== "") done();
    });
    child.once("exit", (code) => failed(new Error(`the program ended with code ${code} before it answered`)));
  });
}

/** What begins an answer, in its line after the echo of what was typed. */
const ANSWER = /> .*\n[•✓!✗] /;

function timed(child: ChildProcess, line: string): Promise<number> {
  const start = performance.now();
  return new Promise((done) => {
    let seen = "";
    const look = (chunk: Buffer): void => {
      seen += chunk.toString();
      if (!ANSWER.test(seen)) return;
      child.stdout?.off("data", look);
      done(performance.now() - start);
    };
    child.stdout?.on("data", look);
    child.stdin?.write(`${line}\n`);
  });
}

function stop(child: ChildProcess): Promise<void> {
  return new Promise((done) => {
    child.removeAllListeners("exit");
    child.once("exit", () => done());
    child.kill("SIGTERM");
  });
}

function residentMegabytes(pid: number): number {
  const kibibytes = Number(execFileSync("ps", ["-o", "rss=", "-p", String(pid)], { encoding: "utf8" }));
  return (kibibytes * 1024) / 1e6;
}
