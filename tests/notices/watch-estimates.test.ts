/** Estimates: the first is the reply's, a shift is told once with its cause, and the next one hears of it. */
import { describe, expect, test } from "vitest";
import { HOUR, MINUTE, SECOND, type UtcMillis } from "../../src/base/units.js";
import type { Estimate } from "../../src/estimates/forecast-service.js";
import { NEXT_WITHIN } from "../../src/estimates/next-in-line.js";
import type { Precedence } from "../../src/forecast/why-before.js";
import type { Notice } from "../../src/journal/notice.js";
import { type ExplainMoves, type Watch, watchEstimates } from "../../src/notices/watch-estimates.js";
import { estimate, readNotice, Scene } from "./scene.js";

/** A scene with a watch on it, and a forecast that says what the test wants. */
class Watched extends Scene {
  starts = new Map<number, UtcMillis | null>();
  /** When those that wait for their best would start without. */
  readonly sooner = new Map<number, UtcMillis>();
  readonly told: Notice[] = [];
  watch: Watch | null = null;

  begin(explainMoves: ExplainMoves): this {
    this.desk.listen((entry) => this.told.push(...entry.notices));
    const forecast = {
      order: () => this.order(),
      startWithoutWait: (number: number) => this.sooner.get(number) ?? null,
      // Of two the one that starts first has the smaller tier.
      whyBefore: (a: number, b: number): Precedence => {
        const start = (number: number) => this.starts.get(number) ?? Infinity;
        const [first, second] = start(a) <= start(b) ? [a, b] : [b, a];
        return {
          first,
          second,
          decidedUnixMs: this.clock.now(),
          decider: { by: "tier", tier: 0, otherTier: 1 },
        };
      },
    };
    const { desk, clock, config } = this;
    this.watch = watchEstimates({ desk, clock, config, forecast, explainMoves });
    return this;
  }

  order(): Estimate[] {
    const waiting = [...this.desk.state.waiting].map((number) => ({
      number,
      start: this.starts.get(number) ?? null,
    }));
    waiting.sort((a, b) => (a.start ?? Infinity) - (b.start ?? Infinity) || a.number - b.number);
    return waiting.map(({ number, start }, index) => ({
      ...estimate(number, start === null ? null : index + 1, start),
      ...(index === 0 && start !== null && start <= this.clock.now() + NEXT_WITHIN ? { next: true } : {}),
    }));
  }

  async minutes(count: number): Promise<void> {
    await this.clock.moveTo(this.clock.now() + count * MINUTE);
  }

  /** A request that is told to start so many minutes from now. */
  async asks(owner: string, inMinutes: number, tier = 1): Promise<number> {
    const startUnixMs = this.clock.now() + inMinutes * MINUTE;
    this.starts.set(this.desk.state.nextNumber, startUnixMs);
    const number = await this.ask(owner, tier);
    await this.happen({ type: "estimates.told", estimates: [{ number, startUnixMs }] });
    return number;
  }

  shift(number: number, minutes: number): void {
    this.starts.set(number, (this.starts.get(number) as number) + minutes * MINUTE);
  }

  kinds(kind: Notice["kind"]): string[] {
    return this.told.filter((each) => each.kind === kind).map(({ title }) => title.slice(0, 2));
  }

  overtaken(): string[] {
    return this.moved().filter((words) => words.includes("You were next"));
  }

  moved(): string[] {
    return this.told.filter(({ kind }) => kind === "moved").map(readNotice);
  }
}

/** Every move has this cause. */
const slowDome: ExplainMoves = async (moves) => moves.map(() => "the dome is slower than planned");

async function watched(explainMoves = slowDome): Promise<{ scene: Watched; mira: string }> {
  const scene = new Watched().begin(explainMoves);
  const mira = await scene.join("mira");
  return { scene, mira };
}

describe("the watch on estimates", () => {
  test("takes the reply's estimate as told, without a notice", async () => {
    const { scene, mira } = await watched();
    const number = await scene.asks(mira, 60);
    const replied = scene.starts.get(number);
    await scene.clock.moveTo(scene.clock.now() + SECOND);
    scene.shift(number, 5);
    await scene.minutes(1);
    expect(scene.desk.state.told.get(number)).toBe(replied);
    expect(scene.told).toEqual([]);
  });

  test("looks soon after what can move an estimate, and not before the minute after anything else", async () => {
    const { scene, mira } = await watched();
    await scene.clock.moveTo(scene.clock.now() + 10 * SECOND);
    const looked = async (): Promise<boolean> => {
      const number = scene.desk.state.nextNumber;
      scene.starts.set(number, scene.clock.now() + HOUR);
      await scene.ask(mira);
      await scene.clock.moveTo(scene.clock.now() + 6 * SECOND);
      return scene.desk.state.told.has(number);
    };
    expect(await looked()).toBe(true);
    const number = await scene.asks(mira, 60);
    await scene.clock.moveTo(scene.clock.now() + 6 * SECOND);
    scene.shift(number, 20);
    await scene.happen({ type: "announcement.made", classId: "evening-2", text: "hello", by: "hall:quill" });
    await scene.clock.moveTo(scene.clock.now() + 6 * SECOND);
    expect(scene.moved()).toEqual([]);
    await scene.minutes(1);
    expect(scene.moved()).toHaveLength(1);
  });

  test("measures a shift right after the request from the reply, not from what came later", async () => {
    const { scene, mira } = await watched();
    const number = await scene.asks(mira, 60);
    await scene.clock.moveTo(scene.clock.now() + SECOND);
    scene.shift(number, 20);
    await scene.minutes(1);
    expect(scene.moved()).toHaveLength(1);
    expect(scene.moved()[0]).toContain("20 min later");
  });

  test("tells a shift above the set minutes once, and none at or below them", async () => {
    const { scene, mira } = await watched();
    const number = await scene.asks(mira, 60);
    await scene.minutes(2);
    scene.shift(number, 10);
    await scene.minutes(2);
    expect(scene.moved()).toEqual([]);
    scene.shift(number, 1);
    await scene.minutes(30);
    expect(scene.moved()).toHaveLength(1);
    expect(scene.moved()[0]).toContain("11 min later than you were told: the dome");
  });

  test("tells no second shift within the set minutes of the first", async () => {
    const { scene, mira } = await watched();
    const number = await scene.asks(mira, 100);
    await scene.minutes(2);
    scene.shift(number, 15);
    await scene.minutes(2);
    scene.shift(number, 15);
    await scene.minutes(5);
    expect(scene.moved()).toHaveLength(1);
    await scene.minutes(10);
    expect(scene.moved()).toHaveLength(2);
  });

  test("says when a request falls out of the night and when it comes back", async () => {
    const { scene, mira } = await watched();
    const number = await scene.asks(mira, 60);
    await scene.minutes(2);
    scene.starts.set(number, null);
    await scene.minutes(2);
    expect(scene.moved()[0]).toContain("not tonight");
    await scene.minutes(15);
    scene.starts.set(number, scene.clock.now() + HOUR);
    await scene.minutes(2);
    expect(scene.moved()[1]).toContain("has a time tonight");
  });

  test("tells no move without a cause, and one as soon as its cause is found", async () => {
    let clause: string | null = null;
    const seen: object[] = [];
    const { scene, mira } = await watched(async (moves) => {
      seen.push(...moves);
      return moves.map(() => clause);
    });
    const number = await scene.asks(mira, 60);
    await scene.minutes(2);
    const fromUnixMs = scene.starts.get(number);
    const told = scene.desk.state.lastEntryId;
    scene.shift(number, 20);
    await scene.minutes(12);
    expect(scene.moved()).toEqual([]);
    expect(scene.desk.state.told.get(number)).toBe(fromUnixMs);
    const startUnixMs = scene.starts.get(number);
    expect(seen[0]).toMatchObject({ number, fromUnixMs, startUnixMs, earliestUnixMs: startUnixMs });
    expect((seen[0] as { toldEntry: number }).toldEntry).toBeLessThanOrEqual(told);
    clause = "two staff requests came in";
    await scene.minutes(2);
    expect(scene.moved()).toHaveLength(1);
    expect(scene.moved()[0]).toContain("20 min later than you were told: two staff requests came in.");
  });

  test("tells nobody anything during an open hold, and the new estimate once after it", async () => {
    const { scene, mira } = await watched();
    const number = await scene.asks(mira, 60);
    await scene.minutes(2);
    const hold = { reason: "cloud", by: "hall:quill", sinceUnixMs: scene.clock.now(), untilUnixMs: null };
    await scene.happen({ type: "hold.placed", hold });
    const before = scene.starts.get(number) as number;
    scene.starts.set(number, null);
    await scene.minutes(12);
    expect(scene.moved()).toEqual([]);
    await scene.happen({ type: "hold.lifted", by: "hall:quill" });
    scene.starts.set(number, before + 12 * MINUTE);
    await scene.minutes(30);
    expect(scene.moved()).toHaveLength(1);
    expect(scene.moved()[0]).toContain("12 min later than you were told: the dome");
  });

  test("tells a shift only once during a timed hold", async () => {
    const { scene, mira } = await watched();
    const number = await scene.asks(mira, 60);
    await scene.minutes(2);
    const untilUnixMs = scene.clock.now() + 3 * HOUR;
    const hold = { reason: "cloud", by: "hall:quill", sinceUnixMs: scene.clock.now(), untilUnixMs };
    await scene.happen({ type: "hold.placed", hold });
    for (let round = 0; round < 4; round++) {
      scene.shift(number, 20);
      await scene.minutes(15);
    }
    expect(scene.moved()).toHaveLength(1);
  });

  test("tells who is next once, when its turn is near", async () => {
    const { scene, mira } = await watched();
    const nexts = () =>
      scene.told.filter(({ kind }) => kind === "next").map(({ title }) => title.slice(0, 2));
    const first = await scene.asks(mira, 60);
    await scene.asks(mira, 90);
    await scene.minutes(40);
    expect(nexts()).toEqual([]);
    await scene.minutes(8);
    expect(nexts()).toEqual(["#1"]);
    await scene.take(first, 20);
    await scene.minutes(5);
    expect(nexts()).toEqual(["#1"]);
    await scene.minutes(25);
    expect(nexts()).toEqual(["#1", "#2"]);
  });

  test("whoever was told next and is overtaken in the queue hears why, once, and is told again when it is next", async () => {
    const { scene, mira } = await watched();
    const quill = await scene.join("quill", "evening-2", "instructor");
    await scene.asks(mira, 10);
    await scene.minutes(1);
    await scene.asks(quill, 8, 0);
    scene.shift(1, 5);
    await scene.minutes(1);
    expect(scene.overtaken()).toEqual([
      "#1 Hercules Cluster (M13): no longer next\nYou were next, but #2 Hercules Cluster (M13) runs first: tier staff runs before tier class.\nYours runs later: it starts about 20:15.",
    ]);
    await scene.minutes(5);
    await scene.take(2, 5);
    await scene.minutes(3);
    expect(scene.overtaken()).toHaveLength(1);
    expect(scene.moved()).toHaveLength(1);
    expect(scene.kinds("next")).toEqual(["#1", "#2", "#1"]);
  });

  test("whoever was told next while another is taken at once hears why, with the new start, and no more", async () => {
    const { scene, mira } = await watched();
    const quill = await scene.join("quill", "evening-2", "instructor");
    await scene.asks(mira, 10);
    await scene.minutes(1);
    await scene.asks(quill, 0, 0);
    await scene.take(2, 12);
    scene.shift(1, 4);
    await scene.minutes(5);
    expect(scene.overtaken()).toEqual([
      "#1 Hercules Cluster (M13): next but one\nYou were next, but #2 Hercules Cluster (M13) runs first: tier staff runs before tier class.\nYou are next after it: it starts about 20:14.",
    ]);
    expect(scene.kinds("next")).toEqual(["#1"]);
  });

  test("nobody hears of being overtaken during a hold, and whoever was meanwhile hears it after", async () => {
    const { scene, mira } = await watched();
    await scene.asks(mira, 10);
    await scene.minutes(1);
    const hold = { reason: "cloud", by: "hall:quill", sinceUnixMs: scene.clock.now(), untilUnixMs: null };
    await scene.happen({ type: "hold.placed", hold });
    await scene.asks(mira, 5, 0);
    await scene.minutes(3);
    expect(scene.overtaken()).toEqual([]);
    await scene.happen({ type: "hold.lifted", by: "hall:quill" });
    await scene.minutes(1);
    expect(scene.overtaken()).toHaveLength(1);
  });

  test("whoever would lose its turn by waiting for its best waits no longer, hears it once, and not while it may yet have both", async () => {
    const { scene, mira } = await watched();
    const number = await scene.asks(mira, 240);
    const notBeforeUnixMs = scene.clock.now() + 3 * HOUR;
    const best = { notBeforeUnixMs: null };
    await scene.happen({ type: "request.earliest", number, notBeforeUnixMs, best, because: "asked" });
    await scene.minutes(2);
    expect(scene.desk.state.requests.get(number)).toMatchObject({ notBeforeUnixMs, best });
    scene.starts.set(number, null);
    await scene.minutes(2);
    expect(scene.told.map(({ title }) => title)).not.toContain("does not wait");
    const startUnixMs = scene.clock.now() + HOUR;
    scene.sooner.set(number, startUnixMs);
    scene.starts.set(number, null);
    await scene.minutes(1);
    expect(scene.desk.state.requests.get(number)).toMatchObject({ notBeforeUnixMs: null, best: null });
    scene.starts.set(number, startUnixMs);
    await scene.minutes(10);
    const told = scene.told.filter(({ title }) => title.includes("does not wait")).map(readNotice);
    expect(told).toEqual([
      "#1 Hercules Cluster (M13): does not wait for its best\nWaiting until 23:00, when its target stands best, it would hardly have a turn tonight.\nSo it runs as soon as it can: about 21:04.",
    ]);
  });

  test("leaves who is taken at once alone", async () => {
    const { scene, mira } = await watched();
    const number = await scene.asks(mira, 0);
    await scene.take(number);
    await scene.minutes(5);
    expect(scene.told.map(({ kind }) => kind)).toEqual(["taken"]);
  });

  test("does not tell again after a restart", async () => {
    const { scene, mira } = await watched();
    const number = await scene.asks(mira, 60);
    await scene.minutes(2);
    scene.shift(number, 20);
    await scene.minutes(2);
    await scene.watch?.stop();
    scene.begin(slowDome);
    await scene.minutes(10);
    expect(scene.moved()).toHaveLength(1);
  });

  test("looks no more once stopped, and waits for the schedule to begin a new night", async () => {
    const { scene, mira } = await watched();
    await scene.happen({ type: "night.began", date: "2026-11-24", carriedOver: [] });
    scene.starts.set(scene.desk.state.nextNumber, scene.clock.now() + HOUR);
    const number = await scene.ask(mira);
    await scene.minutes(3);
    expect(scene.desk.state.told.has(number)).toBe(false);
    await scene.happen({ type: "night.began", date: "2026-11-25", carriedOver: [number] });
    await scene.minutes(1);
    expect(scene.desk.state.told.has(number)).toBe(true);
    await scene.watch?.stop();
    scene.shift(number, 30);
    await scene.minutes(10);
    expect(scene.moved()).toEqual([]);
  });

  test("stores nothing while nothing changes, however many wait", async () => {
    const { scene, mira } = await watched();
    for (let count = 0; count < 200; count++) await scene.asks(mira, 100 + count);
    await scene.minutes(2);
    const entries = scene.desk.state.lastEntryId;
    await scene.minutes(30);
    expect(scene.desk.state.lastEntryId).toBe(entries);
  });
});
