/** What is told between two spreads: each request keeps its distance from the central run. */
import { describe, expect, test } from "vitest";
import { HOUR, MINUTE, SECOND } from "../../src/base/units.js";
import { Baseline } from "../../src/estimates/baseline.js";
import type { Estimate } from "../../src/estimates/forecast-service.js";
import { LEVELS } from "../../src/forecast/learn/calibration.js";
import type { Turn } from "../../src/forecast/night-run.js";
import type { StartRange } from "../../src/forecast/spread.js";
import { emptyState } from "../../src/journal/draft.js";

const NOW = Date.UTC(2026, 10, 26, 2);
const state = emptyState();

const turnOf = (number: number, minutes: number): Turn =>
  ({ number, takenUnixMs: NOW + minutes * MINUTE }) as Turn;

/** Half of the starts within ten minutes of the median. */
function rangeOf(number: number, medianMinutes: number, chanceTonight = 0.8): StartRange {
  const medianUnixMs = NOW + medianMinutes * MINUTE;
  const quantiles = LEVELS.map((level) => medianUnixMs + (level - 0.5) * 40 * MINUTE);
  return { number, medianUnixMs, lowUnixMs: null, highUnixMs: null, quantiles, chanceTonight };
}

function estimateOf(turn: Turn | null, changes: Partial<Estimate> = {}): Estimate {
  const startUnixMs = turn?.takenUnixMs ?? null;
  return {
    ...{ number: turn?.number ?? 9, place: 1, startUnixMs, earliestUnixMs: startUnixMs, turn },
    ...{
      latestUnixMs: startUnixMs,
      chanceTonight: 0,
      altitudeDegrees: null,
      noTurn: null,
      laterUnixMs: null,
    },
    ...changes,
  };
}

/** #1 was expected in 60 min by the central run and 70 by the spread, #2 in 120 and 115. */
const turns = [turnOf(1, 60), turnOf(2, 120)];
const ranges = new Map([
  [1, rangeOf(1, 70)],
  [2, rangeOf(2, 115, 0.6)],
  [3, rangeOf(3, 300, 0.3)],
]);
const baseline = new Baseline(ranges, { turns, withoutTurn: new Map() }, false);
const minutes = (unixMs: number | null): number | null => (unixMs === null ? null : (unixMs - NOW) / MINUTE);

describe("an estimate", () => {
  test("where nothing has happened since is the spread's own median, range and chance", () => {
    const told = baseline.refine(estimateOf(turnOf(1, 60)), NOW, state);
    expect(minutes(told.startUnixMs)).toBe(70);
    expect(minutes(told.earliestUnixMs)).toBeLessThan(60);
    expect(minutes(told.latestUnixMs)).toBeGreaterThan(80);
    expect(told.chanceTonight).toBe(0.8);
  });

  test("moves with the central run, its range with it", () => {
    const before = baseline.refine(estimateOf(turnOf(1, 60)), NOW, state);
    const after = baseline.refine(estimateOf(turnOf(1, 75)), NOW, state);
    for (const key of ["startUnixMs", "earliestUnixMs", "latestUnixMs"] as const)
      expect(minutes(after[key])).toBeCloseTo((minutes(before[key]) as number) + 15, 3);
  });

  test("of a request made since takes the distance of the one that starts next to it", () => {
    expect(minutes(baseline.refine(estimateOf(turnOf(7, 62)), NOW, state).startUnixMs)).toBe(72);
    const late = baseline.refine(estimateOf(turnOf(7, 118)), NOW, state);
    expect(minutes(late.startUnixMs)).toBe(113);
    expect(late.chanceTonight).toBe(0.6);
  });

  test("never starts before now, nor before what was asked for", () => {
    const past = baseline.refine(estimateOf(turnOf(2, 2)), NOW, state);
    expect(minutes(past.startUnixMs)).toBe(0);
    expect(minutes(past.earliestUnixMs)).toBe(0);
    const notBeforeUnixMs = NOW + 2 * HOUR;
    const waits = baseline.refine(estimateOf(turnOf(2, 119), { notBeforeUnixMs }), NOW, state);
    expect(waits.startUnixMs).toBe(notBeforeUnixMs);
    expect(waits.earliestUnixMs).toBe(notBeforeUnixMs);
  });

  test("has a range of a minute at least, however sure the spread is", () => {
    const sure = { ...rangeOf(1, 70), quantiles: LEVELS.map(() => NOW + 70 * MINUTE) };
    const narrow = new Baseline(new Map([[1, sure]]), { turns, withoutTurn: new Map() }, false);
    const told = narrow.refine(estimateOf(turnOf(1, 60)), NOW, state);
    expect((told.latestUnixMs as number) - (told.earliestUnixMs as number)).toBe(60 * SECOND);
  });

  test("of one without a turn has the spread's chance and no start; one that the spread did not know keeps its own", () => {
    const told = baseline.refine(estimateOf(null, { number: 3 }), NOW, state);
    expect(told).toMatchObject({ chanceTonight: 0.3, startUnixMs: null });
    const unknown = baseline.refine(estimateOf(null, { number: 8, chanceTonight: 0.1 }), NOW, state);
    expect(unknown.chanceTonight).toBe(0.1);
  });

  test("of what is under way is left as it is, and so is all where the spread knows no start", () => {
    const underWay = estimateOf(turnOf(1, 60), { place: 0 });
    expect(baseline.refine(underWay, NOW, state)).toBe(underWay);
    const never = new Map([[1, { ...rangeOf(1, 70), medianUnixMs: null, quantiles: null }]]);
    const empty = new Baseline(never, { turns, withoutTurn: new Map() }, false);
    const waits = estimateOf(turnOf(1, 60));
    expect(empty.refine(waits, NOW, state)).toBe(waits);
    expect(empty.median(turnOf(1, 60), NOW)).toBe(NOW + HOUR);
    const some = new Map([...never, [2, rangeOf(2, 115)]]);
    const half = new Baseline(some, { turns, withoutTurn: new Map() }, false);
    expect(minutes(half.median(turnOf(1, 60), NOW))).toBe(55);
  });

  test("has the same median alone", () => {
    expect(minutes(baseline.median(turnOf(1, 60), NOW))).toBe(70);
    expect(minutes(baseline.median(turnOf(2, 2), NOW + MINUTE))).toBe(1);
  });
});
