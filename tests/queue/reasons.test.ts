/** The reason given for each turn is true, and swapping what decided swaps the order. */
import { describe, expect, it } from "vitest";
import { HOUR } from "../../src/base/units.js";
import type { NightInput, Turn } from "../../src/forecast/night-run.js";
import { playNight } from "../../src/forecast/play-night.js";
import { type Request, RULE_NAMES } from "../../src/queue/request.js";
import { targetNights } from "../../src/queue/target-night.js";
import type { Target } from "../../src/sky/target.js";
import { horizontalOf } from "../../src/sky/track.js";
import { emptyNight, fixedTarget, randomNight, request } from "../forecast/random-night.js";

const night = emptyNight("2026-11-25");
const nowUnixMs = night.nowUnixMs + 8 * HOUR;
const high = fixedTarget("high", 0, 42);
const low = fixedTarget("low", 60, 10);

const play = (waiting: readonly Request[], changes: Partial<NightInput> = {}): readonly Turn[] =>
  playNight({ ...night, nowUnixMs, waiting, ...changes }).turns;

function altitude(input: NightInput, target: Target, unixMs: number): number {
  const { track } = targetNights(unixMs, input.observatory)(target);
  return horizontalOf(track, unixMs, input.observatory.site).altitudeDegrees;
}

describe("the reason for a turn", () => {
  it.each(RULE_NAMES)("under %s names the other request and the true numbers of both", (rule) => {
    const input = randomNight({ seed: 7, date: "2026-11-25", requests: 150, targets: 25, rule, tiers: 2 });
    const requests = new Map(input.waiting.map((each) => [each.number, each]));
    const taken = new Map<string, number>();
    for (const turn of playNight(input).turns) {
      const { decider } = turn;
      const mine = requests.get(turn.number) as Request;
      const other = requests.get(turn.aheadOf ?? -1);
      if (decider.by === "only") expect(other).toBeUndefined();
      if (decider.by === "tier") {
        expect([decider.tier, decider.otherTier]).toEqual([mine.tier, other?.tier]);
        expect(decider.tier).toBeLessThan(decider.otherTier);
      }
      if (decider.by === "altitude") {
        const place = other as Request;
        expect(decider.altitudeDegrees).toBeCloseTo(altitude(input, mine.target, turn.takenUnixMs), 9);
        expect(decider.otherAltitudeDegrees).toBeCloseTo(altitude(input, place.target, turn.takenUnixMs), 9);
        expect(decider.altitudeDegrees).toBeGreaterThan(decider.otherAltitudeDegrees);
      }
      if (decider.by === "asked") {
        expect([decider.askedUnixMs, decider.otherAskedUnixMs]).toEqual([
          mine.askedUnixMs,
          other?.askedUnixMs,
        ]);
        expect(decider.askedUnixMs).toBeLessThanOrEqual(decider.otherAskedUnixMs);
      }
      if (decider.by === "closing") expect(decider.closeUnixMs).toBeLessThan(decider.otherCloseUnixMs);
      if (decider.by === "turn") {
        expect(decider.taken).toBe(taken.get(mine.owner) ?? 0);
        expect(decider.otherTaken).toBe(taken.get((other as Request).owner) ?? 0);
        expect(decider.taken).toBeLessThan(decider.otherTaken);
      }
      if (decider.by === "plan" && decider.why.what === "airmass")
        expect(decider.why.exchanged).toBeGreaterThan(decider.why.planned);
      taken.set(mine.owner, (taken.get(mine.owner) ?? 0) + 1);
    }
  });

  it("is the altitude under highest-first, and swapping the targets swaps the order", () => {
    const [first] = play([request(1, low), request(2, high)]);
    const [swapped] = play([request(1, high), request(2, low)]);
    expect([first?.number, first?.aheadOf, first?.decider.by]).toEqual([2, 1, "altitude"]);
    expect([swapped?.number, swapped?.aheadOf, swapped?.decider.by]).toEqual([1, 2, "altitude"]);
  });

  it("is the time of asking within a target, and then the number", () => {
    const turns = play([request(1, high, { askedUnixMs: 20 }), request(2, high, { askedUnixMs: 10 })]);
    expect(turns.map((turn) => turn.number)).toEqual([2, 1]);
    expect(turns[0]?.decider).toEqual({ by: "asked", askedUnixMs: 10, otherAskedUnixMs: 20 });
    const together = play([request(4, high, { askedUnixMs: 10 }), request(3, high, { askedUnixMs: 10 })]);
    expect(together.map((turn) => turn.number)).toEqual([3, 4]);
  });

  it("is the time of asking under first-come, whatever the altitudes", () => {
    const turns = play([request(1, low), request(2, high)], { rule: "first-come" });
    expect(turns.map((turn) => turn.number)).toEqual([1, 2]);
    expect(turns[0]?.decider.by).toBe("asked");
  });

  it("is the closing of the window under setting-first", () => {
    const setting = fixedTarget("setting", 310, 20);
    const turns = play([request(1, high), request(2, setting)], { rule: "setting-first" });
    expect(turns.map((turn) => turn.number)).toEqual([2, 1]);
    expect(turns[0]?.decider.by).toBe("closing");
  });

  it("is the number of requests a person has had under one-each", () => {
    const mine = (number: number): Request => request(number, high, { owner: "terminal:mira" });
    const hers = request(3, low, { owner: "terminal:ines" });
    const turns = play([mine(1), mine(2), hers], { rule: "one-each" });
    expect(turns.map((turn) => turn.number)).toEqual([1, 3, 2]);
    expect(turns[1]?.decider).toEqual({ by: "turn", taken: 0, otherTaken: 1 });
    const already = play([mine(1), mine(2), hers], {
      rule: "one-each",
      takenTonight: new Map([["terminal:ines", 5]]),
    });
    expect(already.map((turn) => turn.number)).toEqual([1, 2, 3]);
  });
});
