import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { timingOf } from "../../src/observatory/action-times.js";
import { aimAtPlace } from "../../src/observatory/aim.js";
import { wheelSteps } from "../../src/observatory/axis.js";
import { CONFIGURED_OVERHEADS, type Pointing } from "../../src/observatory/observatory.js";
import { parkedPointing } from "../../src/observatory/pointing.js";
import { anyKind, anyNumber, anyPlace, ternHollow, withMount } from "./example.js";

const timing = timingOf(ternHollow, CONFIGURED_OVERHEADS);
const wish = { filter: "V", exposureSeconds: 60, frames: 3 };

const pointing: Pointing = {
  firstAxisDegrees: 0,
  secondAxisDegrees: 0,
  flipped: false,
  domeAzimuthDegrees: 180,
  filterSlot: 2,
  shutterOpen: true,
};
const stay = { firstAxisDegrees: 0, secondAxisDegrees: 0, flipped: false, domeAzimuthDegrees: 180 };

describe("the time of one action", () => {
  it("is settling, exposing, reading out and handing over when nothing has to move", () => {
    expect(timing.times(pointing, stay, wish)).toEqual({
      slewMs: 0,
      domeMs: 0,
      filterMs: 0,
      shutterMs: 0,
      settleMs: 4_000,
      readyMs: 4_000,
      exposingMs: 3 * 64_000,
      handOverMs: 6_000,
      totalMs: 4_000 + 192_000 + 6_000,
    });
  });

  // By hand: mount 60/3 + 2 = 22 s; dome 90/2.5 + 2.5 = 38.5 s; wheel two slots of 2.5 s; the dome decides.
  it("waits for the slowest of the parts that run together", () => {
    const aim = { ...stay, firstAxisDegrees: -60, domeAzimuthDegrees: 90 };
    const times = timing.times(pointing, aim, { ...wish, filter: "Hα" });
    expect(times).toMatchObject({ slewMs: 22_000, domeMs: 38_500, filterMs: 5_000, readyMs: 42_500 });
  });

  it("waits for the shutter when it is shut, and only then", () => {
    const times = timing.times({ ...pointing, shutterOpen: false }, stay, wish);
    expect(times).toMatchObject({ shutterMs: 75_000, readyMs: 79_000 });
  });

  it("has no dome and no shutter to wait for under a roll-off roof", () => {
    const open = timingOf(withMount("equatorial-fork", { dome: null }), CONFIGURED_OVERHEADS);
    const times = open.times({ ...pointing, domeAzimuthDegrees: 0, shutterOpen: false }, stay, wish);
    expect(times).toMatchObject({ domeMs: 0, shutterMs: 0, readyMs: 4_000 });
  });

  it("counts a filter that has left the wheel as the longest change", () => {
    expect(timing.times(pointing, stay, { ...wish, filter: "U" }).filterMs).toBe(5_000);
  });

  it("scales each part by what has been learned of it, and no other", () => {
    const aim = { ...stay, firstAxisDegrees: -60, domeAzimuthDegrees: 90 };
    const from = { ...pointing, shutterOpen: false };
    const learned = {
      slew: 1.1,
      dome: 1.2,
      filter: 1.3,
      shutter: 1.4,
      settle: 1.5,
      readOut: 1.6,
      handOver: 1.7,
    };
    const times = timingOf(ternHollow, learned).times(from, aim, { ...wish, filter: "Hα" });
    expect(times).toMatchObject({
      slewMs: 24_200,
      domeMs: 46_200,
      filterMs: 6_500,
      shutterMs: 105_000,
      settleMs: 6_000,
      exposingMs: 3 * 66_400,
      handOverMs: 10_200,
    });
  });

  it("is whole milliseconds, none negative, and adds up, on any mount", () => {
    const factors = fc.record({
      slew: anyNumber(0.5, 2),
      dome: anyNumber(0.5, 2),
      filter: anyNumber(0.5, 2),
      shutter: anyNumber(0.5, 2),
      settle: anyNumber(0.5, 2),
      readOut: anyNumber(0.5, 2),
      handOver: anyNumber(0.5, 2),
    });
    const wishes = fc.record({
      filter: fc.constantFrom("clear", "B", "V", "R", "Hα"),
      exposureSeconds: anyNumber(0.01, 600),
      frames: fc.integer({ min: 1, max: 20 }),
    });
    fc.assert(
      fc.property(
        anyKind,
        anyPlace,
        anyPlace,
        factors,
        wishes,
        fc.boolean(),
        (kind, one, two, factor, ask, open) => {
          const observatory = withMount(kind);
          const model = timingOf(observatory, factor);
          const from = { ...model.pointingAfter(aimAtPlace(one, observatory), "B"), shutterOpen: open };
          const times = model.times(from, aimAtPlace(two, observatory), ask);
          for (const part of Object.values(times)) {
            expect(Number.isInteger(part)).toBe(true);
            expect(part).toBeGreaterThanOrEqual(0);
          }
          const slowest = Math.max(times.slewMs, times.domeMs, times.filterMs, times.shutterMs);
          expect(times.readyMs).toBe(slowest + times.settleMs);
          expect(times.totalMs).toBe(times.readyMs + times.exposingMs + times.handOverMs);
        },
      ),
    );
  });

  it("is never shorter by way of a third place: the ready time less settling obeys the triangle", () => {
    fc.assert(
      fc.property(anyKind, anyPlace, anyPlace, anyPlace, (kind, one, two, three) => {
        const observatory = withMount(kind);
        const model = timingOf(observatory, CONFIGURED_OVERHEADS);
        const [a, b, c] = [one, two, three].map((place) => aimAtPlace(place, observatory));
        const moving = (from: typeof a, to: typeof a): number => {
          const times = model.times(model.pointingAfter(from!, "V"), to!, wish);
          return times.readyMs - times.settleMs;
        };
        // Each leg is rounded to a millisecond.
        expect(moving(a, c)).toBeLessThanOrEqual(moving(a, b) + moving(b, c) + 1.5);
      }),
    );
  });
});

describe("after an action", () => {
  it("the machines stand at the aim, with the filter in and the shutter open", () => {
    const aim = { firstAxisDegrees: 12, secondAxisDegrees: 34, flipped: false, domeAzimuthDegrees: 56 };
    expect(timing.pointingAfter(aim, "R")).toEqual({ ...aim, filterSlot: 3, shutterOpen: true });
  });
});

describe("the filter wheel", () => {
  it("turns the shorter way round", () => {
    expect(wheelSteps(0, 4, 5)).toBe(1);
    expect(wheelSteps(4, 0, 5)).toBe(1);
    expect(wheelSteps(0, 2, 5)).toBe(2);
    expect(wheelSteps(0, 3, 5)).toBe(2);
    expect(wheelSteps(3, 3, 5)).toBe(0);
    expect(wheelSteps(0, 0, 1)).toBe(0);
  });
});

describe("a parked telescope", () => {
  it("has its shutter shut and its tube at the pole it can see", () => {
    expect(parkedPointing(ternHollow)).toMatchObject({ secondAxisDegrees: 90, shutterOpen: false });
    expect(parkedPointing(withMount("german-equatorial", { latitudeDegrees: -30 }))).toMatchObject({
      firstAxisDegrees: 90,
      secondAxisDegrees: -90,
    });
    expect(parkedPointing(withMount("altazimuth"))).toMatchObject({ secondAxisDegrees: 90 });
  });

  it("waits for its shutter at the first move", () => {
    const aim = aimAtPlace({ hourAngleRadians: 0.1, declinationRadians: 0.8 }, ternHollow);
    expect(timing.times(parkedPointing(ternHollow), aim, wish).readyMs).toBe(79_000);
  });
});
