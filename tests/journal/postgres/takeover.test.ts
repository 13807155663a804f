/** A standby goes on from what the writer before it acknowledged, however that one ended; `npm run takeovers` does it often. */
import { once } from "node:events";
import { beforeAll, describe, expect, test } from "vitest";
import { silentLog } from "../../../src/base/log.js";
import { openDesk } from "../../../src/journal/open-desk.js";
import { ManualClock } from "../../../src/tools/manual-clock.js";
import { type Acknowledged, type Child, startAsking } from "../child.js";
import { all, EVENING, noNotices } from "../support.js";
import { hasPostgres, type Place, postgresServer, type TestServer } from "./server.js";

const long = process.env.TAKEOVERS === "all";
const KILLS = long ? Number(process.env.KILLS ?? 50) : 2;
const STOPS = long ? Number(process.env.STOPS ?? 20) : 0;

/** What a process has printed so far, and a way to wait for more. */
class Asking {
  readonly acknowledged: Acknowledged[] = [];
  readonly said: string[] = [];
  private readonly child: Child;
  private heard: () => void = () => {};

  constructor(place: Place, run: string, plant = "") {
    this.child = startAsking(`${place.url}?journal=${place.journal}`, run, plant);
    void this.read();
  }

  private async read(): Promise<void> {
    for await (const line of this.child.lines) {
      const [number, note] = line.split(" ");
      if (Number.isNaN(Number(number))) this.said.push(line);
      else this.acknowledged.push({ number: Number(number), note: note as string });
      this.heard();
    }
  }

  async until(ready: (asking: Asking) => boolean): Promise<void> {
    while (!ready(this)) {
      await new Promise<void>((resolve) => {
        this.heard = resolve;
      });
    }
  }

  signal(name: NodeJS.Signals): void {
    this.child.process.kill(name);
  }

  ended(): Promise<unknown> {
    const { process: child } = this.child;
    return child.exitCode === null && child.signalCode === null ? once(child, "close") : Promise.resolve();
  }
}

describe.skipIf(!hasPostgres())("a standby", () => {
  let server: TestServer;
  beforeAll(async () => {
    server = (await postgresServer()) as TestServer;
  });

  async function expectAll(place: Place, runs: readonly Asking[]): Promise<void> {
    const desk = await openDesk({
      store: place,
      clock: new ManualClock(EVENING),
      derive: noNotices,
      log: silentLog,
    });
    const entries = await all(desk.entries());
    const made = entries.flatMap(({ events }) =>
      events.flatMap((event) => (event.type === "request.made" ? [event] : [])),
    );
    const notes = new Map(made.map(({ number, wish }) => [number, wish.note]));
    for (const { number, note } of runs.flatMap(({ acknowledged }) => acknowledged))
      expect(notes.get(number)).toBe(note);
    expect(notes.size).toBe(made.length);
    expect(new Set(made.map(({ wish }) => wish.note)).size).toBe(made.length);
    await desk.close();
  }

  test(`takes over from a writer that is killed under load, and nothing acknowledged is lost (${KILLS} kills)`, {
    timeout: 20_000 + KILLS * 10_000,
  }, async () => {
    const place = server.newPlace();
    const runs = [new Asking(place, "run-0")];
    const waits: number[] = [];
    for (let turn = 1; turn <= KILLS; turn++) {
      const writer = runs.at(-1) as Asking;
      await writer.until(({ said }) => said.includes("open"));
      const next = new Asking(place, `run-${turn}`, "standby");
      runs.push(next);
      await next.until(({ said }) => said.includes("standing by"));
      await writer.until(({ acknowledged }) => acknowledged.length >= 20 + 7 * (turn % 5));
      writer.signal("SIGKILL");
      const killed = performance.now();
      await next.until(({ said }) => said.includes("open"));
      waits.push(performance.now() - killed);
    }
    const last = runs.at(-1) as Asking;
    await last.until(({ acknowledged }) => acknowledged.length >= 20);
    last.signal("SIGKILL");
    await last.ended();
    if (long) process.stdout.write(`takeover after a kill: ${spread(waits)}\n`);
    await expectAll(place, runs);
  });

  test.skipIf(STOPS === 0)(
    `takes over from a writer that is stopped, which then wakes and stores nothing more (${STOPS} stops)`,
    { timeout: 20_000 + STOPS * 40_000 },
    async () => {
      const place = server.newPlace();
      const runs = [new Asking(place, "run-0")];
      const waits: number[] = [];
      for (let turn = 1; turn <= STOPS; turn++) {
        const writer = runs.at(-1) as Asking;
        await writer.until(({ said }) => said.includes("open"));
        await writer.until(({ said }) => said.includes("open"));
        const next = new Asking(place, `run-${turn}`, "standby");
        runs.push(next);
        await next.until(({ said }) => said.includes("standing by"));
        await writer.until(({ acknowledged }) => acknowledged.length >= 20);
        writer.signal("SIGSTOP");
        const stopped = performance.now();
        await next.until(({ said }) => said.includes("open"));
        waits.push(performance.now() - stopped);
        writer.signal("SIGCONT");
        await writer.ended();
        expect(writer.said.at(-1)).toMatch(/^deposed Nothing is stored here any more: another /);
      }
      const last = runs.at(-1) as Asking;
      await last.until(({ acknowledged }) => acknowledged.length >= 20);
      last.signal("SIGKILL");
      await last.ended();
      process.stdout.write(`takeover after a stop: ${spread(waits)}\n`);
      await expectAll(place, runs);
    },
  );
});

function spread(milliseconds: readonly number[]): string {
  const sorted = [...milliseconds].sort((a, b) => a - b);
  const [median, most] = [sorted[Math.floor(sorted.length / 2)], sorted.at(-1)];
  return `median ${Math.round(median ?? 0)} ms, longest ${Math.round(most ?? 0)} ms, ${sorted.length} times`;
}
