/** Starts the real program and talks to it as a person at a terminal would. */
import { type ChildProcess, spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

/** An empty data folder, and the way to remove it. */
export function temporaryFolder(): { path: string; remove: () => void } {
  const path = mkdtempSync(join(tmpdir(), "nightslate-"));
  return { path, remove: () => rmSync(path, { recursive: true, force: true }) };
}

export class Program {
  /** Everything printed so far. */
  output = "";
  readonly exited: Promise<{ code: number | null; signal: NodeJS.Signals | null }>;
  private readonly child: ChildProcess;
  private readonly waiting = new Set<() => void>();

  constructor(args: readonly string[], environment: NodeJS.ProcessEnv = {}) {
    const { DISCORD_TOKEN: _none, ...inherited } = process.env;
    this.child = spawn(process.execPath, ["dist/main.js", "--no-room", ...args], {
      env: { ...inherited, ...environment },
      stdio: ["pipe", "pipe", "pipe"],
    });
    const collect = (chunk: Buffer): void => {
      this.output += chunk.toString("utf8");
      for (const look of [...this.waiting]) look();
    };
    this.child.stdout?.on("data", collect);
    this.child.stderr?.on("data", collect);
    this.exited = new Promise((done) =>
      this.child.on("close", (code, signal) => {
        for (const look of [...this.waiting]) look();
        done({ code, signal });
      }),
    );
  }

  /** Types one line. */
  type(line: string): void {
    this.child.stdin?.write(`${line}\n`);
  }

  /** Resolves with the match once the output after `from` shows the pattern; rejects when the program ends first. */
  shows(pattern: RegExp, from = 0): Promise<RegExpExecArray> {
    return new Promise((done, fail) => {
      const look = (): void => {
        const match = pattern.exec(this.output.slice(from));
        const ended = this.child.exitCode !== null || this.child.signalCode !== null;
        if (!match && !ended) return;
        this.waiting.delete(look);
        if (match) done(match);
        else fail(new Error(`the program ended without showing ${pattern}:\n${this.output}`));
      };
      this.waiting.add(look);
      look();
    });
  }

  /** Types a line and waits for an answer of this form after it. */
  ask(line: string, pattern: RegExp): Promise<RegExpExecArray> {
    const from = this.output.length;
    this.type(line);
    return this.shows(pattern, from);
  }

  kill(signal: NodeJS.Signals = "SIGKILL"): void {
    this.child.kill(signal);
  }

  async leave(): Promise<number | null> {
    this.type("/quit");
    return (await this.exited).code;
  }
}
