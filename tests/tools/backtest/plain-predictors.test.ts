/** The plain predictors of Ibrahim & Whitt 2009, worked out by hand. */
import { describe, expect, it } from "vitest";
import { MINUTE } from "../../../src/base/units.js";
import { PlainPredictors } from "../../../src/tools/backtest/plain-predictors.js";
import { emptyNight, fixedTarget, request } from "../../forecast/random-night.js";

const target = fixedTarget("T", 40, 75);
const asked = (number: number, minute: number) => request(number, target, { askedUnixMs: minute * MINUTE });
const mine = asked(4, 100);
const night = {
  ...emptyNight("2026-11-25"),
  nowUnixMs: 100 * MINUTE,
  waiting: [asked(2, 80), asked(3, 95), mine, asked(5, 100)],
  current: { request: asked(1, 60), freeUnixMs: 103 * MINUTE },
};

/** Two were served, in 4 and 6 minutes; the last one waited for 12. */
function experienced(duskMinute: number): PlainPredictors {
  const plain = new PlainPredictors();
  plain.nightBegins(duskMinute * MINUTE);
  plain.ended(0, 4 * MINUTE);
  plain.ended(10 * MINUTE, 16 * MINUTE);
  plain.taken(asked(1, 60), 72 * MINUTE);
  return plain;
}

const minutes = (starts: object) =>
  Object.fromEntries(Object.entries(starts).map(([name, unixMs]) => [name, unixMs / MINUTE]));

describe("the plain predictors", () => {
  it("multiply those ahead by the mean service, and add the last served's or the head of the line's wait", () => {
    expect(minutes(experienced(0).startsOf(mine, night))).toEqual({
      queueLengthTimesMeanService: 100 + 3 * 5,
      lastServedWait: 112,
      headOfLineWait: 120,
    });
  });

  it("know opening hours: in daylight, waits count from dusk", () => {
    const starts = minutes(experienced(200).startsOf(mine, night));
    expect(starts).toEqual({ queueLengthTimesMeanService: 215, lastServedWait: 200, headOfLineWait: 200 });
  });

  it("never point to the past", () => {
    const later = { ...night, nowUnixMs: 150 * MINUTE, waiting: [mine] };
    const starts = minutes(experienced(0).startsOf(mine, later));
    expect(starts.lastServedWait).toBe(150);
    expect(starts.headOfLineWait).toBe(150);
  });
});
