/** When a request may be taken, what happens in gaps and holds, and why some have no turn. */
import { describe, expect, it } from "vitest";
import { HOUR, MINUTE } from "../../src/base/units.js";
import type { NightInput } from "../../src/forecast/night-run.js";
import { firstStep, playNight } from "../../src/forecast/play-night.js";
import { targetNights } from "../../src/queue/target-night.js";
import { nightOf } from "../../src/sky/night.js";
import { horizontalOf, trackOf } from "../../src/sky/track.js";
import { bodies, emptyNight, fixedTarget, request, ternHollow } from "./random-night.js";

const noon = emptyNight("2026-11-25");
const evening: NightInput = { ...noon, nowUnixMs: noon.nowUnixMs + 8 * HOUR };
const up = fixedTarget("up", 0, 42);
const rising = fixedTarget("rising", 130, 20);
const never = fixedTarget("never", 0, -80);
const windowOf = (target: typeof up) => {
  const [window] = targetNights(noon.nowUnixMs, ternHollow)(target).windows;
  if (!window) throw new Error("it has a window");
  return window;
};

describe("the central run", () => {
  it("takes nothing by day and begins when the window opens, to the millisecond", () => {
    const { turns } = playNight({ ...noon, waiting: [request(1, up)] });
    expect(turns[0]?.takenUnixMs).toBe(windowOf(up).openUnixMs);
    expect(firstStep({ ...noon, waiting: [request(1, up)] })).toEqual({
      do: "wait",
      untilUnixMs: windowOf(up).openUnixMs,
      because: "no-window",
    });
  });

  it("jumps over a gap to the next window", () => {
    const { turns } = playNight({ ...evening, waiting: [request(1, up), request(2, rising)] });
    expect(turns[0]?.takenUnixMs).toBe(evening.nowUnixMs);
    expect(turns[1]?.takenUnixMs).toBe(windowOf(rising).openUnixMs);
  });

  it("keeps a request back until its time", () => {
    const notBeforeUnixMs = evening.nowUnixMs + 2 * HOUR + 0.5;
    const { turns } = playNight({ ...evening, waiting: [request(1, up, { notBeforeUnixMs })] });
    expect(turns[0]?.takenUnixMs).toBe(Math.ceil(notBeforeUnixMs));
  });

  it("takes the next one when the best would not end before its window closes", () => {
    const setting = windowOf(up).closeUnixMs;
    const waiting = [
      request(1, up, { exposureSeconds: 600, frames: 6 }),
      request(2, fixedTarget("lower", 60, 10), { exposureSeconds: 10 }),
      request(3, up, { exposureSeconds: 10 }),
    ];
    const { turns, withoutTurn } = playNight({ ...evening, nowUnixMs: setting - 20 * MINUTE, waiting });
    expect(turns.map((turn) => turn.number).sort()).toEqual([2, 3]);
    expect(withoutTurn.get(1)).toEqual({ why: "no-time" });
  });

  it("counts the move: exposures that would fit alone do not, once the telescope has to get there", () => {
    const exposingMs = 64_000;
    const settleMs = 4_000;
    const close = windowOf(up).closeUnixMs;
    const after = playNight({ ...evening, nowUnixMs: close - 30 * MINUTE, waiting: [request(1, up)] });
    const pointing = after.turns[0]?.pointingAfter ?? noon.pointing;
    const at = (nowUnixMs: number): number =>
      playNight({ ...evening, pointing, nowUnixMs, waiting: [request(2, up)] }).turns.length;
    expect(at(close - exposingMs - settleMs)).toBe(0);
    expect(at(close - exposingMs - settleMs - 5 * MINUTE)).toBe(1);
  });

  it("keeps the order of asking between two names for one place", () => {
    const alias = fixedTarget("alias", 0, 42);
    for (const [first, second] of [
      [up, alias],
      [alias, up],
    ] as const) {
      const waiting = [request(1, first), request(2, second), request(3, first), request(4, second)];
      expect(playNight({ ...evening, waiting }).turns.map((turn) => turn.number)).toEqual([1, 2, 3, 4]);
    }
  });

  it("waits for the present request and for the end of a hold", () => {
    const freeUnixMs = evening.nowUnixMs + 10 * MINUTE;
    const busy = { ...evening, waiting: [request(1, up)], current: { request: request(9, up), freeUnixMs } };
    expect(playNight(busy).turns[0]?.takenUnixMs).toBe(freeUnixMs);
    expect(firstStep(busy)).toEqual({ do: "wait", untilUnixMs: freeUnixMs, because: "busy" });
    const holdUntilUnixMs = evening.nowUnixMs + HOUR;
    const held = { ...busy, current: null, holdUntilUnixMs };
    expect(playNight(held).turns[0]?.takenUnixMs).toBe(holdUntilUnixMs);
    expect(firstStep(held)).toEqual({ do: "wait", untilUnixMs: holdUntilUnixMs, because: "hold" });
  });

  it("says why each request has no turn", () => {
    const tomorrow = noon.untilUnixMs + HOUR;
    const waiting = [
      request(1, never),
      request(2, up, { notBeforeUnixMs: tomorrow }),
      request(3, up, { exposureSeconds: 600, frames: 200 }),
      request(4, up, { notBeforeUnixMs: windowOf(up).closeUnixMs + MINUTE }),
      request(5, up),
    ];
    const run = playNight({ ...evening, waiting });
    expect(run.turns.map((turn) => turn.number)).toEqual([5]);
    expect(run.withoutTurn).toEqual(
      new Map([
        [1, { why: "no-window" }],
        [2, { why: "not-before", notBeforeUnixMs: tomorrow }],
        [3, { why: "no-time" }],
        [4, { why: "no-window" }],
      ]),
    );
  });

  it("gives nobody a turn while a hold has no end", () => {
    const held = { ...evening, waiting: [request(1, up)], holdUntilUnixMs: Number.POSITIVE_INFINITY };
    expect(playNight(held)).toEqual({ turns: [], withoutTurn: new Map([[1, { why: "hold" }]]) });
    expect(firstStep(held).do).toBe("wait");
  });

  it("has nothing to do when nothing waits", () => {
    expect(playNight(evening)).toEqual({ turns: [], withoutTurn: new Map() });
    expect(firstStep(evening)).toEqual({
      do: "wait",
      untilUnixMs: Number.POSITIVE_INFINITY,
      because: "no-requests",
    });
  });

  it("looks again at the end of the night when nothing more can open", () => {
    const step = firstStep({ ...evening, waiting: [request(1, never)] });
    expect(step).toEqual({ do: "wait", untilUnixMs: evening.untilUnixMs, because: "no-window" });
  });

  it("moves neither mount nor dome between two requests for one target", () => {
    const { turns } = playNight({ ...evening, waiting: [request(1, up), request(2, up)] });
    expect(turns[0]?.times.shutterMs).toBe(75_000);
    expect(turns[1]?.times).toMatchObject({
      slewMs: 0,
      domeMs: 0,
      filterMs: 0,
      shutterMs: 0,
      readyMs: 4_000,
    });
  });

  it("follows planets, and gives the altitude when exposures begin", () => {
    const saturn = bodies.find((body) => body.id === "saturn") as (typeof bodies)[0];
    const [turn] = playNight({ ...evening, waiting: [request(1, saturn)] }).turns;
    expect(turn?.altitudeDegrees).toBeGreaterThan(20);
    const track = trackOf(saturn, nightOf(evening.nowUnixMs, ternHollow.site.timeZone), ternHollow.site);
    const { altitudeDegrees } = horizontalOf(track, turn?.exposingUnixMs ?? 0);
    expect(turn?.altitudeDegrees).toBeCloseTo(altitudeDegrees, 9);
  });

  it("tells two positions with one id apart", () => {
    const here = fixedTarget("J000000+420000", 0, 42);
    const near = fixedTarget("J000000+420000", 0.2, 42);
    const { turns } = playNight({ ...evening, waiting: [request(1, here), request(2, near)] });
    expect(turns.every((turn) => turn.decider.by !== "asked")).toBe(true);
  });
});
