/** Evenings with the whole product behind them: who is told that an estimate moved, and why. */
import { describe, expect, test } from "vitest";
import { silentLog } from "../../src/base/log.js";
import { HOUR, MINUTE } from "../../src/base/units.js";
import type { Config } from "../../src/config/config.js";
import { loadConfig } from "../../src/config/load.js";
import { findMember } from "../../src/config/members.js";
import type { EstimateMove } from "../../src/journal/events.js";
import { openMemoryDesk } from "../../src/journal/open-desk.js";
import { deriveNotices } from "../../src/notices/derive.js";
import { nightNamed } from "../../src/sky/night.js";
import { PracticeLink } from "../../src/telescope/practice/link.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import { assemble } from "../../src/wiring/start.js";
import { venuesOf } from "../../src/wiring/surfaces.js";

const loaded = loadConfig("config/tern-hollow.yaml");
const NOON = nightNamed("2026-11-25", loaded.observatory.site.timeZone).startUnixMs;
/** A little after dusk. */
const EVENING = NOON + 6.5 * HOUR;
/** Nobody is expected to ask for anything. */
const nobodyExpected: Config = { ...loaded, forecast: { ...loaded.forecast, arrivalsPerHour: 0 } };

class Evening {
  readonly moves: (EstimateMove & { readonly atUnixMs: number })[] = [];

  private constructor(
    readonly clock: ManualClock,
    private readonly config: Config,
    private readonly running: Awaited<ReturnType<typeof assemble<ManualClock>>>,
  ) {}

  static async begin(config: Config = loaded, atUnixMs = EVENING): Promise<Evening> {
    const clock = new ManualClock(atUnixMs);
    const desk = openMemoryDesk({ clock, derive: deriveNotices(config, venuesOf(config)) });
    const running = await assemble({
      ...{ config, clock, desk, folder: "", log: silentLog, surfaces: () => [] },
      link: () =>
        new PracticeLink({
          pauseClock: () => () => {},
          makeFrame: async ({ request, index, startUnixMs }) => ({
            ...{ index, startUnixMs, exposureSeconds: request.exposureSeconds, filter: request.filter },
            ...{ imageFile: null, previewFile: null, verdict: null, simulated: true },
          }),
        }),
    });
    const evening = new Evening(clock, config, running);
    desk.listen(({ events, atUnixMs: at }) => {
      for (const event of events)
        if (event.type === "estimates.moved")
          evening.moves.push(...event.moves.map((move) => ({ ...move, atUnixMs: at })));
    });
    return evening;
  }

  async say(who: string, line: string): Promise<void> {
    const asker = findMember(this.config, "terminal", who);
    await this.running.host.runText(line, {
      asker,
      from: { surface: "terminal", channel: "main" },
      onceKey: null,
    });
    await settle();
  }

  async go(minutes: number): Promise<void> {
    await this.clock.moveTo(this.clock.now() + minutes * MINUTE, settle);
  }

  /** The causes given for a request. */
  causes(number: number): (string | null)[] {
    return this.moves.filter((move) => move.number === number).map(({ because }) => because);
  }

  stop(): Promise<void> {
    return this.running.stop();
  }
}

/** Lets answers and looks come to their end. */
async function settle(): Promise<void> {
  for (let turn = 0; turn < 8; turn++) await new Promise<void>((done) => setImmediate(done));
}

const STUDENTS = ["mira", "tomas", "ines", "kofi", "noor", "oskar", "yuki"];
const TARGETS = ["M92", "M15", "M2", "M34", "M57", "M74", "M72"];

async function sevenAsk(evening: Evening): Promise<void> {
  for (const [index, who] of STUDENTS.entries()) {
    await evening.say(who, `/request ${TARGETS[index]} clear 60 2`);
    await evening.go(0.2);
  }
}

describe("moved estimates", () => {
  test("nobody hears of a move while nothing happens", async () => {
    const evening = await Evening.begin(nobodyExpected);
    for (const [index, who] of STUDENTS.entries())
      await evening.say(who, `/request ${TARGETS[index]} clear 240 4 anyway=yes`);
    await evening.go(0.5);
    const told = evening.moves.length;
    await evening.go(3 * 60);
    expect(evening.moves.slice(told)).toEqual([]);
    await evening.stop();
  });

  test("requests that were expected and did not come are told at most once, when the start is near", async () => {
    const evening = await Evening.begin(loaded, NOON + 2 * HOUR);
    for (const [index, who] of STUDENTS.slice(0, 4).entries())
      await evening.say(who, `/request M57 clear ${300 + index} 3 anyway=yes`);
    await evening.go(1);
    const told = evening.moves.length;
    await evening.go(4.25 * 60);
    const drifted = evening.moves.slice(told);
    expect(drifted.length).toBeGreaterThan(0);
    expect(new Set(drifted.map(({ number }) => number)).size).toBe(drifted.length);
    for (const { because, startUnixMs, fromUnixMs, atUnixMs } of drifted) {
      expect(because).toBe("fewer requests came in than expected");
      const earlierMs = (fromUnixMs as number) - (startUnixMs as number);
      expect(earlierMs).toBeGreaterThanOrEqual((startUnixMs as number) - atUnixMs);
    }
    await evening.stop();
  });

  test("staff requests are named and counted, though a short hold stands", async () => {
    const evening = await Evening.begin(nobodyExpected);
    await sevenAsk(evening);
    await evening.go(3);
    const before = evening.moves.length;
    await evening.say("quill", "/hold dew until 18:40");
    await evening.say("quill", "/request M27 clear 60 15");
    await evening.say("quill", "/request M15 clear 60 20");
    await evening.go(1);
    const moved = evening.moves.slice(before).filter(({ number }) => number <= STUDENTS.length);
    expect(moved.length).toBeGreaterThan(2);
    for (const { because } of moved) expect(because).toBe("two staff requests came in");
    await evening.stop();
  });

  test("a hold and a fault are named by the time they lasted", async () => {
    for (const [begin, end, clause] of [
      ["/hold cloud", "/resume", "the hold lasted 20 min"],
      ["/equipment telescope fault", "/equipment telescope ready", "the telescope's fault lasted 20 min"],
    ] as const) {
      const evening = await Evening.begin(nobodyExpected, EVENING - 2 * HOUR);
      for (const who of STUDENTS) await evening.say(who, "/request M57 clear 120 3 anyway=yes");
      await evening.go(110);
      const before = evening.moves.length;
      await evening.say("quill", begin);
      await evening.go(20);
      expect(evening.moves.slice(before)).toEqual([]);
      await evening.say("quill", end);
      await evening.go(1);
      const moved = evening.moves.slice(before);
      expect(moved.length).toBeGreaterThan(1);
      expect(new Set(moved.map(({ because }) => because))).toEqual(new Set([clause]));
      await evening.stop();
    }
  });
});
