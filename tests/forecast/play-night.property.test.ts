/** What holds for every queue, rule and night. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { HOUR, MINUTE } from "../../src/base/units.js";
import type { NightInput } from "../../src/forecast/night-run.js";
import { playNight } from "../../src/forecast/play-night.js";
import { type Request, RULE_NAMES } from "../../src/queue/request.js";
import { targetNights } from "../../src/queue/target-night.js";
import { plainNight } from "./plain-night.js";
import { bodies, emptyNight, fixedTarget, observatoryAt, request, ternHollow } from "./random-night.js";
import { stepThrough } from "./stepping.js";

const places = [
  ternHollow,
  observatoryAt(-33, 149, "Australia/Sydney"),
  observatoryAt(58, 12, "Europe/Stockholm"),
  { ...ternHollow, mount: { ...ternHollow.mount, kind: "german-equatorial" as const } },
  { ...ternHollow, mount: { ...ternHollow.mount, kind: "altazimuth" as const }, dome: null },
];
const stars = Array.from({ length: 14 }, (_, index) =>
  fixedTarget(`T${index}`, (index * 97) % 360, ((index * 41) % 150) - 70),
);
const targets = [...stars, ...bodies];

const wish = fc.record({
  target: fc.constantFrom(...targets),
  filter: fc.constantFrom("clear", "B", "V", "R", "Hα"),
  exposureSeconds: fc.constantFrom(1, 20, 120, 600),
  frames: fc.constantFrom(1, 2, 5, 20),
  tier: fc.constantFrom(0, 1, 1, 1, 2),
  owner: fc.constantFrom("terminal:mira", "terminal:tomas", "terminal:ines"),
  notBeforeHours: fc.option(fc.double({ min: -2, max: 26, noNaN: true }), { freq: 4 }),
  askedMinutesAgo: fc.integer({ min: 0, max: 300 }),
});

const anyNight = fc
  .record({
    place: fc.constantFrom(...places),
    date: fc.constantFrom("2026-03-07", "2026-06-20", "2026-09-12", "2026-11-25", "2026-12-31"),
    startHours: fc.double({ min: 0, max: 20, noNaN: true }),
    rule: fc.constantFrom(...RULE_NAMES),
    holdHours: fc.option(fc.double({ min: -1, max: 20, noNaN: true }), { freq: 3 }),
    busyMinutes: fc.option(fc.integer({ min: 1, max: 90 }), { freq: 3 }),
    taken: fc.array(fc.integer({ min: 0, max: 4 }), { minLength: 3, maxLength: 3 }),
    wishes: fc.array(wish, { maxLength: 40 }),
  })
  .map(({ place, date, startHours, rule, holdHours, busyMinutes, taken, wishes }): NightInput => {
    const empty = emptyNight(date, place);
    const nowUnixMs = Math.round(empty.nowUnixMs + startHours * HOUR);
    const owners = ["terminal:mira", "terminal:tomas", "terminal:ines"];
    const waiting = wishes.map(({ notBeforeHours, askedMinutesAgo, ...rest }, index) =>
      request(index + 1, rest.target, {
        ...rest,
        notBeforeUnixMs: notBeforeHours === null ? null : Math.round(empty.nowUnixMs + notBeforeHours * HOUR),
        askedUnixMs: nowUnixMs - askedMinutesAgo * MINUTE,
      }),
    );
    return {
      ...empty,
      nowUnixMs,
      rule,
      waiting,
      holdUntilUnixMs: holdHours === null ? null : Math.round(nowUnixMs + holdHours * HOUR),
      current:
        busyMinutes === null
          ? null
          : {
              request: request(999, stars[0] as (typeof stars)[0]),
              freeUnixMs: nowUnixMs + busyMinutes * MINUTE,
            },
      takenTonight: new Map(owners.map((owner, index) => [owner, taken[index] ?? 0])),
    };
  });

const byNumber = (night: NightInput): Map<number, Request> =>
  new Map(night.waiting.map((each) => [each.number, each]));

describe("for every queue, rule, mount and season", () => {
  it("a telescope that asks step by step does exactly what the forecast said, to the millisecond", () => {
    fc.assert(
      fc.property(anyNight, (night) => {
        expect(stepThrough(night)).toEqual(playNight(night).turns);
      }),
      { numRuns: 300 },
    );
  });

  it("the engine's shortcuts change nothing: the same night played plainly has the same turns", () => {
    fc.assert(
      fc.property(anyNight, (night) => {
        const { rule } = night;
        if (rule === "planned") return;
        const turns = playNight(night).turns.map(({ number, takenUnixMs, freeUnixMs }) => ({
          number,
          takenUnixMs,
          freeUnixMs,
        }));
        expect(turns).toEqual(plainNight({ ...night, rule }));
      }),
      { numRuns: 300 },
    );
  });

  it("gives every request a turn or a reason, never both", () => {
    fc.assert(
      fc.property(anyNight, (night) => {
        const run = playNight(night);
        const numbers = [...run.turns.map((turn) => turn.number), ...run.withoutTurn.keys()];
        expect(numbers.sort((a, b) => a - b)).toEqual(night.waiting.map((each) => each.number));
      }),
      { numRuns: 200 },
    );
  });

  it("takes one at a time, in whole milliseconds, after hold and present request, inside a window", () => {
    fc.assert(
      fc.property(anyNight, (night) => {
        const nights = targetNights(night.nowUnixMs, night.observatory);
        const requests = byNumber(night);
        let freeUnixMs = Math.max(
          night.nowUnixMs,
          night.current?.freeUnixMs ?? 0,
          night.holdUntilUnixMs ?? 0,
        );
        for (const turn of playNight(night).turns) {
          const { target, notBeforeUnixMs } = requests.get(turn.number) as Request;
          const doneUnixMs = turn.exposingUnixMs + turn.times.exposingMs;
          const inside = nights(target).windows.some(
            (window) => window.openUnixMs <= turn.takenUnixMs && doneUnixMs <= window.closeUnixMs,
          );
          expect(inside).toBe(true);
          expect(turn.takenUnixMs).toBeGreaterThanOrEqual(Math.max(freeUnixMs, notBeforeUnixMs ?? 0));
          expect(Number.isInteger(turn.takenUnixMs)).toBe(true);
          expect(turn.freeUnixMs).toBe(turn.takenUnixMs + turn.times.totalMs);
          freeUnixMs = turn.freeUnixMs;
        }
      }),
      { numRuns: 200 },
    );
  });

  it("never takes a later tier while an earlier one could have been taken", () => {
    fc.assert(
      fc.property(anyNight, (night) => {
        const requests = byNumber(night);
        const { turns } = playNight(night);
        const withoutLater = playNight({
          ...night,
          waiting: night.waiting.filter((each) => each.tier === 0),
        });
        const first = turns[0];
        const firstOfTierZero = withoutLater.turns[0];
        if (!first || !firstOfTierZero) return;
        if (firstOfTierZero.takenUnixMs > first.takenUnixMs) return;
        expect((requests.get(first.number) as Request).tier).toBe(0);
        expect(first.number).toBe(firstOfTierZero.number);
      }),
      { numRuns: 200 },
    );
  });

  it("does not depend on the order in which the queue is handed over", () => {
    fc.assert(
      fc.property(anyNight, (night) => {
        expect(playNight({ ...night, waiting: [...night.waiting].reverse() }).turns).toEqual(
          playNight(night).turns,
        );
      }),
      { numRuns: 100 },
    );
  });
});
