/** The cause of a move is the thing without which the night would not have moved. */
import { describe, expect, it } from "vitest";
import { HOUR, MINUTE } from "../../src/base/units.js";
import type { NightInput } from "../../src/forecast/night-run.js";
import { playNight } from "../../src/forecast/play-night.js";
import { type Happened, Replay } from "../../src/forecast/what-moved.js";
import { emptyNight, fixedTarget, request } from "./random-night.js";

const high = fixedTarget("high", 0, 42);
const low = fixedTarget("low", 30, 20);

/** Eight in the evening, one target high and one low; #5 asks for the low one. */
function toldNight(): NightInput {
  const empty = emptyNight("2026-11-25");
  const nowUnixMs = empty.nowUnixMs + 8 * HOUR;
  const waiting = [1, 2, 3, 4].map((number) =>
    request(number, high, { exposureSeconds: 120, frames: 3, askedUnixMs: nowUnixMs - HOUR }),
  );
  return {
    ...empty,
    nowUnixMs,
    waiting: [...waiting, request(5, low, { owner: "terminal:noor", askedUnixMs: nowUnixMs - HOUR })],
  };
}

const night = toldNight();
const nothing: Happened = {
  made: [],
  again: [],
  gone: [],
  held: [],
  late: [],
  rule: night.rule,
  overheads: night.overheads,
};
const later = (number: number, tier: number) =>
  request(number, high, {
    tier,
    exposureSeconds: 200,
    frames: 3,
    askedUnixMs: night.nowUnixMs + MINUTE,
  });
const moved = (happened: Partial<Happened>, shiftMinutes: number, number = 5) =>
  new Replay(night, { ...nothing, ...happened }).causeFor(number, shiftMinutes * MINUTE);

describe("what moved an estimate", () => {
  it("names staff requests that came in, by their tier and number", () => {
    expect(moved({ made: [later(6, 0), later(7, 0)] }, 20)).toEqual({ what: "made", requests: 2, tier: 0 });
  });

  it("names requests of the same tier without one", () => {
    expect(moved({ made: [later(6, 1)] }, 10)).toEqual({ what: "made", requests: 1, tier: null });
  });

  it("does not name a later request that runs behind it", () => {
    const behind = request(6, fixedTarget("lower", 330, -10), { askedUnixMs: night.nowUnixMs + MINUTE });
    expect(moved({ made: [behind] }, 10)).toBeNull();
  });

  it("names a hold by the time it took", () => {
    const openUnixMs = night.nowUnixMs + 5 * MINUTE;
    const held = [{ openUnixMs, closeUnixMs: openUnixMs + 12 * MINUTE }];
    expect(moved({ held }, 12)).toEqual({ what: "held", forMs: 12 * MINUTE });
  });

  it("names the slower dome, not the small delay that came with it", () => {
    const overheads = { ...night.overheads, dome: 8 };
    const openUnixMs = night.nowUnixMs + 7 * MINUTE;
    const late = [{ openUnixMs, closeUnixMs: openUnixMs + 5_000 }];
    const turns = playNight({ ...night, overheads }).turns;
    const before = playNight(night).turns;
    const start = (list: typeof turns) => list.find((turn) => turn.number === 5)?.takenUnixMs as number;
    const shift = (start(turns) - start(before)) / MINUTE;
    expect(shift).toBeGreaterThan(0.5);
    expect(moved({ overheads, late }, shift)).toEqual({ what: "overhead", component: "dome", factor: 8 });
  });

  it("names another rule, requests that left, one to be done again, and an action that took longer", () => {
    expect(moved({ rule: "one-each" }, -19)).toEqual({ what: "rule", rule: "one-each" });
    expect(moved({ gone: [1, 2] }, -12)).toEqual({ what: "gone", requests: 2 });
    expect(moved({ again: [later(1, 1)] }, 8)).toEqual({ what: "again", requests: 1 });
    const openUnixMs = night.nowUnixMs + 7 * MINUTE;
    expect(moved({ late: [{ openUnixMs, closeUnixMs: openUnixMs + 9 * MINUTE }] }, 9)).toEqual({
      what: "late",
      byMs: 9 * MINUTE,
    });
  });

  it("names none when nothing explains enough of it, or only the opposite", () => {
    expect(moved({}, 15)).toBeNull();
    expect(moved({ made: [later(6, 0)] }, 60)).toBeNull();
    expect(moved({ gone: [1, 2] }, 12)).toBeNull();
  });

  it("of two, names the greater", () => {
    const openUnixMs = night.nowUnixMs + 5 * MINUTE;
    const held = [{ openUnixMs, closeUnixMs: openUnixMs + 40 * MINUTE }];
    expect(moved({ held, made: [later(6, 0)] }, 50)).toMatchObject({ what: "held" });
  });
});
