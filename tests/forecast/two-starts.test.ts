/** A start in either of two stretches of the night is told as two, everything else as one range. */
import { expect, test } from "vitest";
import { HOUR, MINUTE } from "../../src/base/units.js";
import { startCell, startWords } from "../../src/commands/words/estimate-words.js";
import { Baseline } from "../../src/estimates/baseline.js";
import { LEVELS } from "../../src/forecast/learn/calibration.js";
import type { Turn } from "../../src/forecast/night-run.js";
import { rangesFrom, summaryOf } from "../../src/forecast/spread.js";
import { twoStarts } from "../../src/forecast/two-starts.js";
import { emptyState } from "../../src/journal/fold.js";
import { text } from "../commands/world.js";
import { estimate } from "../notices/scene.js";

const EVENING = Date.UTC(2026, 10, 26, 1, 30);
const DAWN = EVENING + 10 * HOUR;

/** Quantiles of runs with these starts. */
function quantilesOf(starts: readonly number[]): ArrayLike<number> {
  const summary = summaryOf(Float64Array.from(starts), starts.length, 0, 1);
  const range = rangesFrom([1], summary).get(1);
  if (!range?.quantiles) throw new Error("it starts in some run");
  return range.quantiles;
}

/** So many starts, spread evenly over some minutes. */
function stretch(count: number, fromUnixMs: number, minutes: number): number[] {
  return Array.from({ length: count }, (_, index) => fromUnixMs + ((index + 0.5) / count) * minutes * MINUTE);
}

test.each([0.3, 0.5, 0.8])(
  "with %s of the runs in the evening and the others before dawn, the middles of both are told",
  (share) => {
    const evening = Math.round(300 * share);
    const two = twoStarts(
      quantilesOf([...stretch(evening, EVENING, 40), ...stretch(300 - evening, DAWN, 60)]),
    );
    expect(Math.abs((two?.firstUnixMs ?? 0) - (EVENING + 20 * MINUTE))).toBeLessThan(5 * MINUTE);
    expect(Math.abs((two?.otherUnixMs ?? 0) - (DAWN + 30 * MINUTE))).toBeLessThan(5 * MINUTE);
  },
);

test("one stretch, however long, a long tail, or a handful of runs elsewhere are one range", () => {
  expect(twoStarts(quantilesOf(stretch(300, EVENING, 600)))).toBeNull();
  const tail = Array.from(
    { length: 300 },
    (_, index) => EVENING - 3 * HOUR * Math.log(1 - (index + 0.5) / 300),
  );
  expect(twoStarts(quantilesOf(tail))).toBeNull();
  expect(twoStarts(quantilesOf([...stretch(285, EVENING, 40), ...stretch(15, DAWN, 40)]))).toBeNull();
  expect(twoStarts(LEVELS.map(() => EVENING))).toBeNull();
});

test("the estimate that is shown has both, and they are said as two", () => {
  const starts = [...stretch(150, EVENING, 20), ...stretch(150, DAWN, 20)];
  const central = EVENING + 12 * MINUTE;
  const ranges = rangesFrom([1], summaryOf(Float64Array.from(starts), starts.length, 0, 1));
  const turn = { number: 1, takenUnixMs: central } as Turn;
  const baseline = new Baseline(ranges, { turns: [turn], withoutTurn: new Map() }, false);
  const known = { ...estimate(1, 1, central), turn };
  const shown = baseline.refine(known, EVENING - HOUR, { ...emptyState(), night: "2026-11-25" });
  expect(text(startWords(shown, EVENING - HOUR) ?? [])).toMatch(
    /^about 19:40, or if it has not come by then, about 05:(39|40)$/,
  );
  expect(text(startCell(shown, EVENING - HOUR))).toMatch(/^19:40 or 05:(39|40)$/);
});
