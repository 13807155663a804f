/** Galaxies in practice frames: what is edge on looks so, and all of their light is there. */
import { describe, expect, it } from "vitest";
import { seededRandom } from "../../../src/base/random.js";
import { drawGalaxy } from "../../../src/telescope/practice/draw/galaxy.js";
import { evenLight } from "../../../src/telescope/practice/image.js";

const SIDE = 401;
const MIDDLE = (SIDE - 1) / 2;
const TOTAL = 1e6;

/** A galaxy of a magnitude that gives `TOTAL` electrons, at one second of arc a pixel, in the middle of the picture. */
function drawn(id: string, axes: readonly [number, number]): (dx: number, dy: number) => number {
  const light = evenLight(SIDE, SIDE, 0);
  const centre = { x: MIDDLE, y: MIDDLE };
  const brush = { light, centre, arcsecondsPerPixel: 1, fwhmPixels: 2, gasGain: 1, random: seededRandom(3) };
  drawGalaxy({ ...brush, electronsOf: () => TOTAL }, id, 8, axes);
  return (dx, dy) => light.electrons[(MIDDLE + dy) * SIDE + MIDDLE + dx] as number;
}

/** Light along a line from the middle. */
const sum = (values: readonly number[]): number => values.reduce((total, each) => total + each, 0);
const steps = (from: number, to: number): number[] =>
  Array.from({ length: to - from }, (_, index) => from + index);

describe("a galaxy seen edge on", () => {
  it("M104, though listed two fifths as wide as long, is a thin disc with a lane of dust across a round bulge", () => {
    // Its long axis lies east and west: position angle 90°.
    const at = drawn("M104", [4, 1.6]);
    const along = sum(steps(70, 110).map((dx) => at(dx, 0)));
    const across = sum(steps(70, 110).map((dy) => at(0, dy)));
    expect(along / across).toBeGreaterThan(5);
    const profile = steps(-14, 15).map((dy) => at(40, dy));
    const dust = Math.min(...profile.slice(9, 20));
    expect(dust).toBeLessThan(0.75 * Math.max(...profile.slice(0, 14)));
    expect(dust).toBeLessThan(0.75 * Math.max(...profile.slice(15)));
  });

  it("and one face on have all the light of their magnitude, but for what the dust takes", () => {
    for (const [id, axes, least] of [
      ["M104", [4, 1.6], 0.7],
      ["M101", [4, 3.8], 0.85],
    ] as const) {
      const at = drawn(id, axes);
      const reach = steps(-180, 181);
      const total = sum(reach.map((dy) => sum(reach.map((dx) => at(dx, dy)))));
      expect(total / TOTAL).toBeGreaterThan(least);
      expect(total / TOTAL).toBeLessThan(1.05);
    }
  });
});
