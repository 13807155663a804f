/** The ends of a range: judged as given, and sharing what one of them cannot use. */
import { describe, expect, it } from "vitest";
import { MINUTE } from "../../src/base/units.js";
import {
  type Calibration,
  freshCalibration,
  type Outcome,
  observe,
  widen,
} from "../../src/forecast/learn/calibration.js";

const now = 0;
const spread = { low: 7 * MINUTE, median: 10 * MINUTE, high: 13 * MINUTE, horizonMs: 10 * MINUTE };

function learned(outcomes: readonly Partial<Outcome>[]): Calibration {
  return outcomes.reduce<Calibration>(
    (calibration, outcome) => observe(calibration, { ...spread, actual: spread.median, ...outcome }),
    freshCalibration(),
  );
}

const given = (calibration: Calibration) =>
  widen(spread.low, spread.median, spread.high, spread.horizonMs - now, calibration);

describe("the ends of a range", () => {
  it("are judged by the range as it was given, not as it would be given by now", () => {
    const narrow = { low: 9 * MINUTE, high: 11 * MINUTE };
    const outcome = { actual: 12 * MINUTE };
    const [asNow] = learned([outcome]);
    const [asGiven] = learned([{ ...outcome, given: narrow }]);
    expect(asGiven!.late.alpha).toBeLessThan(asNow!.late.alpha);
    expect(asGiven!.early.alpha).toBe(asNow!.early.alpha);
  });

  it("share: where nothing can start before the median, the late end may be missed twice as often", () => {
    // Starts fall evenly over the three minutes from the median on.
    const minutes = Array.from({ length: 300 }, (_, index) => ((index * 7) % 100) / 33);
    const range = given(learned(minutes.map((minute) => ({ actual: spread.median + minute * MINUTE }))));
    const late = (range.high - spread.median) / MINUTE;
    const missed = minutes.filter((minute) => minute > late).length / minutes.length;
    expect(missed).toBeGreaterThan(0.12);
    expect(missed).toBeLessThan(0.28);
  });
});
