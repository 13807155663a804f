/** The horizon mask: straight lines between corners, closed over north. */
import fc from "fast-check";
import { expect, test } from "vitest";
import { maskAltitude, maskTop } from "../../src/observatory/horizon-mask.js";
import type { MaskCorner } from "../../src/observatory/observatory.js";

function maskOf(...corners: [azimuth: number, altitude: number][]): { horizonMask: MaskCorner[] } {
  return {
    horizonMask: corners.map(([azimuthDegrees, altitudeDegrees]) => ({ azimuthDegrees, altitudeDegrees })),
  };
}

test("passes through its corners and runs straight between them", () => {
  const mask = maskOf([0, 20], [90, 10], [180, 30]);
  expect(maskAltitude(0, mask)).toBe(20);
  expect(maskAltitude(45, mask)).toBe(15);
  expect(maskAltitude(135, mask)).toBe(20);
});

test("closes over north: from the last corner to the first", () => {
  const mask = maskOf([20, 10], [340, 30]);
  expect(maskAltitude(0, mask)).toBe(20);
  expect(maskAltitude(350, mask)).toBe(25);
  expect(maskAltitude(10, mask)).toBe(15);
});

test("hides nothing without corners, and is level with one", () => {
  expect(maskAltitude(123, maskOf())).toBe(-90);
  expect(maskAltitude(123, maskOf([50, 12]))).toBe(12);
});

test("takes corners in any order, and azimuths beyond a full turn", () => {
  const mask = maskOf([180, 30], [0, 20], [90, 10]);
  expect(maskAltitude(405, mask)).toBe(15);
  expect(maskAltitude(-270, mask)).toBe(10);
});

test("has a wall where two corners share an azimuth: its top counts, each side keeps its own height", () => {
  const mask = maskOf([0, 10], [90, 10], [90, 50], [180, 50], [180, 10]);
  expect(maskAltitude(90, mask)).toBe(50);
  expect(maskAltitude(89.999, mask)).toBeCloseTo(10, 6);
  expect(maskAltitude(90.001, mask)).toBeCloseTo(50, 6);
  expect(maskAltitude(180, mask)).toBe(50);
  expect(maskAltitude(180.001, mask)).toBeCloseTo(10, 6);
});

test("may give north two heights, one as 0° and one as 360°", () => {
  const mask = maskOf([0, 10], [180, 10], [360, 40]);
  expect(maskAltitude(359.999, mask)).toBeCloseTo(40, 3);
  expect(maskAltitude(0.001, mask)).toBeCloseTo(10, 3);
  expect(maskAltitude(0, mask)).toBe(40);
});

test("never leaves the range of its corners, and nothing stands above its top", () => {
  const corners = fc.array(
    fc.record({
      azimuthDegrees: fc.double({ min: 0, max: 360, noNaN: true }),
      altitudeDegrees: fc.double({ min: 0, max: 80, noNaN: true }),
    }),
    { minLength: 1, maxLength: 12 },
  );
  fc.assert(
    fc.property(corners, fc.double({ min: 0, max: 360, noNaN: true }), (horizonMask, azimuth) => {
      const altitude = maskAltitude(azimuth, { horizonMask });
      const heights = horizonMask.map((corner) => corner.altitudeDegrees);
      expect(altitude).toBeGreaterThanOrEqual(Math.min(...heights) - 1e-9);
      expect(altitude).toBeLessThanOrEqual(maskTop({ horizonMask }) + 1e-9);
    }),
  );
});
