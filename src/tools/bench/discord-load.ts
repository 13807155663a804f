/** Discord under load, the platform's rate limits enforced: a busy class for ten seconds, and a class all at once. */
import { type ChildProcess, fork } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { atLeast, atMost, type BenchRow, figure } from "./row.js";

/** What the platform's side measured (tests/chat/discord/load-stand-in.ts). */
export interface LoadReport {
  readonly interactions: number;
  readonly acknowledged: number;
  /** Real milliseconds from dispatch to first answer, sorted. */
  readonly ackMs: readonly number[];
  readonly suggestionMs: readonly number[];
  /** Messages posted in the class channel, the board apart. */
  readonly messages: number;
  readonly doubled: number;
  readonly mentions: number;
  /** Answers 429. */
  readonly turnedAway: number;
}

/** What our side measured (tests/chat/discord/load-bot.ts). */
export interface BotReport {
  readonly requests: number;
  readonly notices: number;
  readonly delivered: number;
  readonly dropped: number;
  /** Real milliseconds from a notice's record to the record of its delivery, the slowest. */
  readonly slowestMs: number;
  readonly residentMegabytes: number;
}

const ROOT = fileURLToPath(new URL("../../..", import.meta.url));
/** The stand-in lives under tests and is compiled from there, beside the product (`npm run build:tests`). */
const COMPILED = join(ROOT, "dist", "with-tests");
/** Students who ask, and the time over which they begin. */
interface Rush {
  readonly students: number;
  readonly withinMs: number;
}

const STEADY: Rush = { students: 300, withinMs: 10_000 };
/** "Now you try": a class that begins together. */
const BURST: Rush = { students: 100, withinMs: 1_000 };
/** Longest wait for the last notices; the platform takes one message a second in one channel. */
const DRAIN_MS = 60_000;

export async function discordLoad(): Promise<readonly BenchRow[]> {
  const steady = await measured(STEADY, steadyRows);
  return [...steady, ...(await measured(BURST, burstRows))];
}

async function measured(
  rush: Rush,
  rows: (theirs: LoadReport, ours: BotReport) => BenchRow[],
): Promise<readonly BenchRow[]> {
  const folder = mkdtempSync(join(tmpdir(), "nightslate-bench-"));
  const platform = child("load-stand-in.js");
  let bot: ChildProcess | null = null;
  try {
    const { opened } = await word<{ opened: object }>(platform, "opened");
    bot = child("load-bot.js", JSON.stringify([opened, folder]));
    await word(bot, "ready");
    await asked(platform, { load: rush }, "loaded");
    await asked(platform, { cancel: true }, "cancelled");
    const ours = await drained(bot);
    const { report: theirs } = await asked<{ report: LoadReport }>(platform, { report: true }, "report");
    return rows(theirs, ours);
  } finally {
    bot?.kill("SIGKILL");
    platform.kill("SIGKILL");
    rmSync(folder, { recursive: true, force: true });
  }
}

function burstRows(theirs: LoadReport, ours: BotReport): BenchRow[] {
  const name = nameOf(BURST);
  return [
    atLeast(name("interactions acknowledged"), acknowledgedPercent(theirs), "%", 100),
    atMost(name("acknowledged, p99"), quantile(theirs.ackMs, 0.99), "ms", 500),
    atMost(name("acknowledged, slowest"), quantile(theirs.ackMs, 1), "ms", 1_000),
    figure(name("suggestions, p99"), quantile(theirs.suggestionMs, 0.99), "ms"),
    atLeast(name("requests recorded"), ours.requests, "", BURST.students),
    atMost(name("notices lost, dropped or doubled"), ours.notices - ours.delivered + theirs.doubled, "", 0),
  ];
}

function steadyRows(theirs: LoadReport, ours: BotReport): BenchRow[] {
  const name = nameOf(STEADY);
  return [
    atLeast(name("interactions acknowledged"), acknowledgedPercent(theirs), "%", 100),
    atMost(name("acknowledged, p99"), quantile(theirs.ackMs, 0.99), "ms", 500),
    atMost(name("acknowledged, slowest"), quantile(theirs.ackMs, 1), "ms", 1_000),
    atMost(name("suggestions, p99"), quantile(theirs.suggestionMs, 0.99), "ms", 300),
    atLeast(name("requests recorded"), ours.requests, "", STEADY.students),
    atMost(name("notices lost, dropped or doubled"), ours.notices - ours.delivered + theirs.doubled, "", 0),
    atMost(name("slowest notice"), ours.slowestMs / 1000, "s", 30),
    figure(name(`messages for ${ours.notices} notices`), theirs.messages, ""),
    figure(name("answers 429"), theirs.turnedAway, ""),
    atMost(name("resident memory"), ours.residentMegabytes, "MB", 200),
  ];
}

function nameOf({ students, withinMs }: Rush): (what: string) => string {
  return (what) => `Discord, ${students} students in ${withinMs / 1000} s: ${what}`;
}

function acknowledgedPercent({ acknowledged, interactions }: LoadReport): number {
  return (100 * acknowledged) / interactions;
}

function child(file: string, ...args: string[]): ChildProcess {
  return fork(join(COMPILED, "tests", "chat", "discord", file), args, {
    cwd: ROOT,
    stdio: ["ignore", "ignore", "inherit", "ipc"],
  });
}

/** The next message that has this key; fails when the child has ended. */
function word<T>(from: ChildProcess, key: string): Promise<T> {
  return new Promise((done, fail) => {
    const ended = (): void => fail(new Error("a process of the measurement ended early"));
    const hear = (message: object): void => {
      if (!(key in message)) return;
      from.off("message", hear);
      from.off("exit", ended);
      done(message as T);
    };
    from.on("message", hear);
    from.once("exit", ended);
  });
}

function asked<T>(of: ChildProcess, question: object, key: string): Promise<T> {
  const answer = word<T>(of, key);
  of.send(question);
  return answer;
}

/** Our report once every notice has been told, or when that takes too long. */
async function drained(bot: ChildProcess): Promise<BotReport> {
  const until = performance.now() + DRAIN_MS;
  for (;;) {
    const { report } = await asked<{ report: BotReport }>(bot, { report: true }, "report");
    if (report.delivered >= report.notices || performance.now() > until) return report;
    await new Promise((done) => setTimeout(done, 250));
  }
}

/** The value that a share `q` of the sorted values does not exceed. */
function quantile(sorted: readonly number[], q: number): number {
  return sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))] ?? Number.NaN;
}
