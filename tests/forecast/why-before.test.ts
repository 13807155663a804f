/** Reasons hold by construction: swap what decided, and the order is the other way round. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { HOUR, MINUTE } from "../../src/base/units.js";
import type { NightInput } from "../../src/forecast/night-run.js";
import { planNight } from "../../src/forecast/plan-night.js";
import { playNight } from "../../src/forecast/play-night.js";
import { type Precedence, whyBefore } from "../../src/forecast/why-before.js";
import { type Request, RULE_NAMES } from "../../src/queue/request.js";
import { targetNights } from "../../src/queue/target-night.js";
import { horizontalOf } from "../../src/sky/track.js";
import { emptyNight, fixedTarget, request } from "./random-night.js";

const DATE = "2026-11-25";

/** Most requests are for any time. */
const seldom = fc.oneof(
  { weight: 5, arbitrary: fc.constant(null) },
  { weight: 1, arbitrary: fc.integer({ min: 0, max: 180 }) },
);

/** Two requests, and others for targets of their own. */
const anyPair = fc.record({
  rule: fc.constantFrom(...RULE_NAMES),
  hours: fc.double({ min: 6, max: 14, noNaN: true }),
  places: fc.array(fc.tuple(fc.integer({ min: 0, max: 359 }), fc.integer({ min: 0, max: 80 })), {
    minLength: 2,
    maxLength: 8,
  }),
  tiers: fc.tuple(fc.integer({ min: 1, max: 2 }), fc.integer({ min: 1, max: 2 })),
  turns: fc.tuple(fc.integer({ min: 0, max: 2 }), fc.integer({ min: 0, max: 2 })),
  frames: fc.tuple(fc.integer({ min: 1, max: 4 }), fc.integer({ min: 1, max: 4 })),
  notBefore: fc.tuple(seldom, seldom),
});

function nightOf(pair: typeof anyPair extends fc.Arbitrary<infer T> ? T : never): NightInput {
  const empty = emptyNight(DATE);
  const nowUnixMs = Math.round(empty.nowUnixMs + pair.hours * HOUR);
  const waiting = pair.places.map(([ra, dec], index) =>
    request(index + 1, fixedTarget(`T${index}`, ra, dec), {
      owner: `terminal:student-${index}`,
      askedUnixMs: empty.nowUnixMs + index * 1_000,
      tier: pair.tiers[index] ?? 1,
      frames: pair.frames[index] ?? 1,
      notBeforeUnixMs: pair.notBefore[index] == null ? null : nowUnixMs + pair.notBefore[index] * MINUTE,
    }),
  );
  const takenTonight = new Map(pair.turns.map((turns, index) => [`terminal:student-${index}`, turns]));
  const night = { ...empty, nowUnixMs, rule: pair.rule, waiting, takenTonight };
  return pair.rule === "planned" ? { ...night, plan: planNight(night) } : night;
}

/**
 * The night as it stands when the two part. Only a plan looks at all who wait; else the two are left alone, so that
 * nobody comes between them once they are exchanged.
 */
function atDecision(night: NightInput, { decidedUnixMs }: Precedence): NightInput {
  const before = playNight(night).turns.filter((turn) => turn.takenUnixMs < decidedUnixMs);
  const gone = new Set(before.map(({ number }) => number));
  const alone = night.rule !== "planned";
  return {
    ...night,
    nowUnixMs: decidedUnixMs,
    waiting: night.waiting.filter(({ number }) => (alone ? number <= 2 : !gone.has(number))),
    pointing: before.at(-1)?.pointingAfter ?? night.pointing,
  };
}

/** The same night with the value that decided exchanged between #1 and #2. */
function swapped(night: NightInput, { decider }: Precedence): NightInput {
  const [one, two, ...others] = night.waiting as [Request, Request, ...Request[]];
  const exchange = (keys: readonly (keyof Request)[]): NightInput => {
    const given = (to: Request, from: Request): Request => ({
      ...to,
      ...Object.fromEntries(keys.map((key) => [key, from[key]])),
    });
    return { ...night, waiting: [given(one, two), given(two, one), ...others] };
  };
  switch (decider.by) {
    case "tier":
      return exchange(["tier"]);
    case "asked":
      return exchange(["askedUnixMs"]);
    case "turn":
      return exchange(["owner"]);
    case "not-before":
      return exchange(["notBeforeUnixMs"]);
    case "window":
    case "too-long":
      // The one that could not be observed may have been asked for later besides.
      return exchange(["target", "notBeforeUnixMs", "frames"]);
    default:
      // The frames go with their target, so that what fitted its window still fits.
      return exchange(["target", "frames"]);
  }
}

/** What is named of a plan holds, worked out without it. */
function expectTrue(night: NightInput, { first, second, decidedUnixMs, decider }: Precedence): void {
  if (decider.by !== "plan") return;
  const { turns, withoutTurn } = playNight(night);
  const start = (number: number): number | undefined =>
    turns.find((turn) => turn.number === number)?.takenUnixMs;
  const sky = targetNights(night.nowUnixMs, night.observatory);
  const targetOf = (number: number) =>
    sky((night.waiting.find((each) => each.number === number) as Request).target);
  const { why } = decider;
  if (why.what === "waits") {
    const { track } = targetOf(second);
    const height = (unixMs: number): number => horizontalOf(track, unixMs).altitudeDegrees;
    expect(why.untilUnixMs).toBeGreaterThan(decidedUnixMs);
    expect(why.nowDegrees).toBeCloseTo(height(decidedUnixMs), 6);
    expect(why.thenDegrees).toBeCloseTo(height(why.untilUnixMs), 6);
    expect(why.thenDegrees).toBeGreaterThan(why.nowDegrees);
    expect(start(second) ?? Number.POSITIVE_INFINITY).toBeGreaterThanOrEqual(why.untilUnixMs);
  }
  if (why.what === "closing")
    expect(targetOf(first).windows.some(({ closeUnixMs }) => closeUnixMs === why.closeUnixMs)).toBe(true);
  if (why.what === "airmass") expect(why.exchanged).toBeGreaterThan(why.planned);
  if (why.what === "near") expect(why.readyMs).toBeLessThan(why.otherReadyMs);
  if (start(second) === undefined) expect(withoutTurn.has(second)).toBe(true);
}

describe("why one runs before another", () => {
  it("is what decided: exchanged between the two, it turns their order round", () => {
    const seen = new Map<string, number>();
    fc.assert(
      fc.property(fc.noBias(anyPair), (pair) => {
        const night = nightOf(pair);
        const why = whyBefore(night, 1, 2);
        if (why === null) return;
        seen.set(why.decider.by, (seen.get(why.decider.by) ?? 0) + 1);
        const then = atDecision(night, why);
        expect(whyBefore(then, 1, 2)).toEqual(why);
        expectTrue(night, why);
        if (night.rule === "planned") return;
        const after = whyBefore(swapped(then, why), 1, 2);
        expect([after?.first, after?.second], JSON.stringify(why)).toEqual([why.second, why.first]);
      }),
      { numRuns: 600, seed: 7 },
    );
    for (const by of ["tier", "altitude", "asked", "closing", "turn", "plan", "window", "not-before"])
      expect(seen.get(by), by).toBeGreaterThan(5);
  });
});
