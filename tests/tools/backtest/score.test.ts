/** The score, on cases worked out by hand. */
import { describe, expect, it } from "vitest";
import { MINUTE } from "../../../src/base/units.js";
import { horizonOf } from "../../../src/tools/backtest/horizons.js";
import type { Answer, Fact, Judged } from "../../../src/tools/backtest/question.js";
import { scoreOf } from "../../../src/tools/backtest/score.js";

/** Minutes after the question; null where no start was promised. */
interface Case {
  readonly range?: readonly [low: number, median: number, high: number] | null;
  readonly chance?: number;
  readonly plain?: readonly [queue: number, last: number, head: number];
  readonly start?: number;
  readonly came?: "withdrawn" | "not tonight";
  readonly hold?: boolean;
}

function judged(each: Case): Judged {
  const { range = [10, 20, 30], chance = 1, plain = [0, 0, 0], start = 20, came, hold = false } = each;
  const questionUnixMs = 1_000 * MINUTE;
  const at = (minutes: number) => questionUnixMs + minutes * MINUTE;
  const [queue, last, head] = plain;
  const answer: Answer = {
    number: 1,
    questionUnixMs,
    start: range && { lowUnixMs: at(range[0]), medianUnixMs: at(range[1]), highUnixMs: at(range[2]) },
    onHold: hold,
    held: hold,
    shownIn: "request",
    night: "a night",
    usual: null,
    chanceTonight: chance,
    plain: { queueLengthTimesMeanService: at(queue), lastServedWait: at(last), headOfLineWait: at(head) },
  };
  const fact: Fact =
    came === "withdrawn"
      ? { came, startUnixMs: at(start) }
      : came
        ? { came }
        : { came: "started", startUnixMs: at(start) };
  return { answer, fact };
}

describe("the score", () => {
  it("counts a start at either end of the range as inside, and beyond as outside", () => {
    const starts = [10, 30, 9, 31];
    expect(scoreOf(starts.map((start) => judged({ start }))).coverage80).toBe(0.5);
  });

  it("takes the error from the median: bias is signed, late forecasts positive", () => {
    const score = scoreOf([judged({ start: 14 }), judged({ start: 28 })]);
    expect(score.maeMinutes).toBeCloseTo(7, 10);
    expect(score.biasMinutes).toBeCloseTo(-1, 10);
    expect(score.meanWaitMinutes).toBeCloseTo(21, 10);
  });

  it("sorts by the horizon that was foretold, not by the wait that came", () => {
    const score = scoreOf([
      judged({ range: [5, 14, 20], start: 90 }),
      judged({ range: [5, 15, 20], start: 16 }),
      judged({ range: [5, 60, 90], start: 10 }),
    ]);
    expect(score.scoredByHorizon).toEqual({ "0-15": 1, "15-60": 1, "60+": 1 });
    expect(score.coverage80ByHorizon).toEqual({ "0-15": 0, "15-60": 1, "60+": 1 });
  });

  it("puts a horizon's ends where they belong", () => {
    expect([0, 14.99, 15, 59.99, 60, 600].map((minutes) => horizonOf(minutes * MINUTE))).toEqual([
      "0-15",
      "0-15",
      "15-60",
      "15-60",
      "60+",
      "60+",
    ]);
  });

  it("scores the plain predictors on the same questions", () => {
    const score = scoreOf([
      judged({ plain: [15, 20, 30] }),
      judged({ plain: [35, 20, 20] }),
      judged({ plain: [500, 500, 500], came: "not tonight" }),
    ]);
    expect(score.baselines.queueLengthTimesMeanService.maeMinutes).toBeCloseTo(10, 10);
    expect(score.baselines.lastServedWait.maeMinutes).toBeCloseTo(0, 10);
    expect(score.baselines.headOfLineWait.maeMinutes).toBeCloseTo(5, 10);
  });

  it("scores a request that was withdrawn by when its turn would have come, and counts what has no start", () => {
    const { counts } = scoreOf([
      judged({}),
      judged({ start: 0 }),
      judged({ came: "withdrawn" }),
      judged({ came: "not tonight", chance: 0.7 }),
      judged({ came: "not tonight", range: null, chance: 0.2 }),
      judged({ range: null, chance: 0.4 }),
      judged({ range: null, chance: 0, hold: true }),
    ]);
    expect(counts).toMatchObject({
      asked: 7,
      scored: 2,
      takenAtOnce: 1,
      onHold: 1,
      withdrawn: 1,
      promisedInVain: 1,
      unlikelyAndDidNot: 1,
      unlikelyButRan: 1,
    });
    expect(counts.promisedInVainForetold).toBeCloseTo(0.3, 10);
  });
});
