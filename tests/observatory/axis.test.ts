import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { axisSeconds, shorterTurnDegrees } from "../../src/observatory/axis.js";
import { anyAxis, anyNumber } from "./example.js";

const anyDistance = anyNumber(0, 360);

describe("an axis from rest to rest", () => {
  // By hand: 2 s up to 3°/s (3°), 84°/3°/s = 28 s, 2 s down.
  it("takes 32 s for 90° at 3°/s and 1.5°/s²", () => {
    expect(axisSeconds(90, { speed: 3, acceleration: 1.5 })).toBeCloseTo(32, 12);
  });

  // By hand: 1.5° reached after √(2·0.75/1.5) = 1 s, and 1 s to stop.
  it("never reaches top speed on a short way: 1.5° at 1.5°/s² takes 2 s", () => {
    expect(axisSeconds(1.5, { speed: 3, acceleration: 1.5 })).toBeCloseTo(2, 12);
  });

  it("joins both profiles at v²/a: 6° takes 4 s either way", () => {
    expect(axisSeconds(6, { speed: 3, acceleration: 1.5 })).toBeCloseTo(4, 12);
    expect(axisSeconds(6.000001, { speed: 3, acceleration: 1.5 })).toBeCloseTo(4, 6);
  });

  it("agrees with integrating the velocity step by step", () => {
    fc.assert(
      fc.property(anyNumber(0.5, 200), anyAxis, (distance, axis) => {
        const total = axisSeconds(distance, axis);
        expect(distanceTravelled(total, axis)).toBeCloseTo(distance, 2);
      }),
      { numRuns: 60 },
    );
  });

  it("takes no time for no distance, and never a negative time", () => {
    fc.assert(
      fc.property(anyDistance, anyAxis, (distance, axis) => {
        expect(axisSeconds(0, axis)).toBe(0);
        expect(axisSeconds(distance, axis)).toBeGreaterThanOrEqual(0);
      }),
    );
  });

  it("takes as long back as there", () => {
    fc.assert(
      fc.property(anyDistance, anyAxis, (distance, axis) => {
        expect(axisSeconds(-distance, axis)).toBe(axisSeconds(distance, axis));
      }),
    );
  });

  it("takes longer for a longer way", () => {
    fc.assert(
      fc.property(anyDistance, anyNumber(0.001, 90), anyAxis, (distance, more, axis) => {
        expect(axisSeconds(distance + more, axis)).toBeGreaterThan(axisSeconds(distance, axis));
      }),
    );
  });

  it("is never quicker by stopping half-way", () => {
    fc.assert(
      fc.property(anyDistance, anyDistance, anyAxis, (first, second, axis) => {
        const detour = axisSeconds(first, axis) + axisSeconds(second, axis);
        expect(axisSeconds(first + second, axis)).toBeLessThanOrEqual(detour + 1e-9);
      }),
    );
  });

  it("is never slower with a faster or stronger motor", () => {
    fc.assert(
      fc.property(anyDistance, anyAxis, anyNumber(1, 4), (distance, axis, factor) => {
        const faster = axisSeconds(distance, { ...axis, speed: axis.speed * factor });
        const stronger = axisSeconds(distance, { ...axis, acceleration: axis.acceleration * factor });
        expect(Math.max(faster, stronger)).toBeLessThanOrEqual(axisSeconds(distance, axis) + 1e-9);
      }),
    );
  });
});

describe("a turn on a full circle", () => {
  it("goes the shorter way, across north too", () => {
    expect(shorterTurnDegrees(350, 10)).toBe(20);
    expect(shorterTurnDegrees(10, 350)).toBe(20);
    expect(shorterTurnDegrees(0, 180)).toBe(180);
    expect(shorterTurnDegrees(90, 271)).toBe(179);
  });

  it("is at most half a turn, the same both ways, and unmoved by whole turns", () => {
    fc.assert(
      fc.property(anyNumber(-720, 720), anyNumber(-720, 720), (from, to) => {
        const turn = shorterTurnDegrees(from, to);
        expect(turn).toBeGreaterThanOrEqual(0);
        expect(turn).toBeLessThanOrEqual(180);
        expect(shorterTurnDegrees(to, from)).toBeCloseTo(turn, 9);
        expect(shorterTurnDegrees(from + 360, to)).toBeCloseTo(turn, 9);
      }),
    );
  });
});

/** Velocity summed over small steps: an independent road to the distance. */
function distanceTravelled(seconds: number, axis: { speed: number; acceleration: number }): number {
  const steps = 20_000;
  const step = seconds / steps;
  let distance = 0;
  for (let i = 0; i < steps; i++) {
    const time = (i + 0.5) * step;
    const ramp = axis.acceleration * Math.min(time, seconds - time);
    distance += Math.min(axis.speed, ramp) * step;
  }
  return distance;
}
