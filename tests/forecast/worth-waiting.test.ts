/** Low targets wait for height where nobody is kept waiting by that: under every rule, in forecast and telescope alike. */
import { describe, expect, test } from "vitest";
import { HOUR, MINUTE, SECOND } from "../../src/base/units.js";
import type { NightInput } from "../../src/forecast/night-run.js";
import { firstStep, playNight } from "../../src/forecast/play-night.js";
import { spreadOf } from "../../src/forecast/spread.js";
import { whyBefore } from "../../src/forecast/why-before.js";
import { RULE_NAMES } from "../../src/queue/request.js";
import { targetNights } from "../../src/queue/target-night.js";
import type { FixedTarget } from "../../src/sky/target.js";
import { horizontalOf } from "../../src/sky/track.js";
import { certainBeliefs } from "./certain-beliefs.js";
import { emptyNight, fixedTarget, request, ternHollow } from "./random-night.js";

const noon = emptyNight("2026-11-25");
const evening: NightInput = { ...noon, nowUnixMs: noon.nowUnixMs + 8 * HOUR, worthwhileAltitudeDegrees: 35 };
const up = fixedTarget("up", 0, 42);
/** Below the horizon in the evening, high after midnight. */
const rising = fixedTarget("rising", 130, 20);
/** Never as high as 35°. */
const southern = fixedTarget("southern", 100, -20);
/** Past its best in the evening. */
const setting = fixedTarget("setting", 300, 20);

const nights = targetNights(noon.nowUnixMs, ternHollow);
const altitude = (target: FixedTarget, unixMs: number): number =>
  horizontalOf(nights(target).track, unixMs).altitudeDegrees;
const opening = (target: FixedTarget): number => nights(target).windows[0]?.openUnixMs as number;
const takenOf = (input: NightInput): number[] => playNight(input).turns.map(({ takenUnixMs }) => takenUnixMs);

describe("alone", () => {
  test.each(RULE_NAMES)(
    "under %s it is taken at the worthwhile altitude, not when it clears the limit",
    (rule) => {
      const [taken] = takenOf({ ...evening, rule, waiting: [request(1, rising)] });
      expect(altitude(rising, opening(rising))).toBeLessThan(25);
      // A plan waits for height of its own accord, here for longer.
      if (rule === "planned") expect(altitude(rising, taken as number)).toBeGreaterThan(35);
      else expect(altitude(rising, taken as number)).toBeCloseTo(35, 2);
    },
  );

  test("what never gets so high is taken at its best, and what only sinks at once", () => {
    const [best] = takenOf({ ...evening, waiting: [request(1, southern)] });
    const others = [-60, -30, 30, 60].map((minutes) =>
      altitude(southern, (best as number) + minutes * MINUTE),
    );
    for (const other of others) expect(altitude(southern, best as number)).toBeGreaterThan(other - 0.2);
    const [now] = takenOf({ ...evening, worthwhileAltitudeDegrees: 80, waiting: [request(1, setting)] });
    expect(now).toBe(evening.nowUnixMs);
  });

  test("what is still rising at dawn is taken while there is time for it", () => {
    const late = fixedTarget("late", 190, 0);
    const wish = request(1, late, { exposureSeconds: 600, frames: 3 });
    const [turn] = playNight({ ...evening, worthwhileAltitudeDegrees: 60, waiting: [wish] }).turns;
    const close = nights(late).windows.at(-1)?.closeUnixMs as number;
    expect(turn?.freeUnixMs).toBeLessThanOrEqual(close + MINUTE);
    expect(turn?.freeUnixMs).toBeGreaterThan(close - 15 * MINUTE);
  });

  test.each([null, 0])("with the key at %s it is taken the moment it may be", (worthwhileAltitudeDegrees) => {
    const input = { ...evening, worthwhileAltitudeDegrees, waiting: [request(1, rising)] };
    expect(takenOf(input)).toEqual([opening(rising)]);
  });
});

describe("with others", () => {
  test("what stands well goes first, under first-come too, and why is said with its numbers", () => {
    const input = {
      ...evening,
      rule: "first-come" as const,
      nowUnixMs: opening(rising) + MINUTE,
      waiting: [request(1, rising), request(2, up)],
    };
    expect(playNight(input).turns.map(({ number }) => number)).toEqual([2, 1]);
    const why = whyBefore(input, 1, 2);
    expect(why).toMatchObject({ first: 2, decider: { by: "low", worthwhileDegrees: 35 } });
    const [, second] = takenOf(input);
    expect(why?.decider).toMatchObject({ untilUnixMs: second });
  });

  test("nobody is kept waiting: with another due while it would be made up for, it is taken low", () => {
    const alone = takenOf({ ...evening, waiting: [request(1, rising)] })[0] as number;
    const due = (minutes: number) => request(2, up, { notBeforeUnixMs: alone + minutes * MINUTE });
    const start = (minutes: number) =>
      playNight({ ...evening, waiting: [request(1, rising), due(minutes)] }).turns;
    for (const minutes of [0.2, 1]) {
      const turns = start(minutes);
      expect(turns[0]).toMatchObject({ number: 1, takenUnixMs: opening(rising) });
      expect(turns[1]?.takenUnixMs).toBe(Math.ceil(alone + minutes * MINUTE));
    }
    expect(start(30)[0]).toMatchObject({ number: 1, takenUnixMs: alone });
  });

  test("of many that wait for the same height, as many go low as make up for it: none that would stand well starts later", () => {
    const many = Array.from({ length: 12 }, (_, index) =>
      request(index + 1, rising, { exposureSeconds: 300, frames: 3 }),
    );
    const high = takenOf({ ...evening, waiting: many });
    const plain = takenOf({ ...evening, worthwhileAltitudeDegrees: null, waiting: many });
    const ripe = takenOf({ ...evening, waiting: many.slice(0, 1) })[0] as number;
    expect(high[0]).toBe(plain[0]);
    for (const [index, taken] of high.entries())
      if ((plain[index] as number) >= ripe) expect(taken - (plain[index] as number)).toBeLessThan(SECOND);
    const few = takenOf({ ...evening, waiting: many.slice(0, 3) });
    expect(few[0]).toBeGreaterThan(plain[0] as number);
    expect(few.at(-1)).toBeLessThanOrEqual(ripe + 5 * MINUTE);
  });
});

test("the telescope asks anew at any instant and does what was forecast", () => {
  const waiting = [
    request(1, rising),
    request(2, rising, { exposureSeconds: 600 }),
    request(3, southern),
    request(4, up),
  ];
  const input = { ...evening, waiting };
  const { turns } = playNight(input);
  const second = turns[1];
  if (!second) throw new Error("there are several turns");
  const rest = waiting.filter(({ number }) => number !== turns[0]?.number);
  for (let unixMs = turns[0]?.freeUnixMs as number; unixMs < second.takenUnixMs; unixMs += 7 * MINUTE) {
    const step = firstStep({
      ...input,
      waiting: rest,
      nowUnixMs: unixMs,
      pointing: turns[0]?.pointingAfter ?? input.pointing,
    });
    if (step.do === "take") throw new Error("taken too soon");
    expect(step.untilUnixMs).toBeLessThanOrEqual(second.takenUnixMs);
  }
  const step = firstStep({
    ...input,
    waiting: rest,
    nowUnixMs: second.takenUnixMs,
    pointing: turns[0]?.pointingAfter ?? input.pointing,
  });
  expect(step).toMatchObject({ do: "take", turn: { number: second.number } });
});

test("played by chance without any chance, it starts when the central run says", () => {
  const input = { ...evening, waiting: [request(1, rising), request(2, up), request(3, southern)] };
  const { ranges } = spreadOf(input, certainBeliefs(ternHollow), { runs: 3, seed: 1 });
  for (const { number, takenUnixMs } of playNight(input).turns)
    expect(ranges.get(number)?.medianUnixMs).toBe(takenUnixMs);
});
