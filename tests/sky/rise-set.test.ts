/** Rising, transit and setting over any limit. */
import { expect, test } from "vitest";
import { MINUTE } from "../../src/base/units.js";
import { nightNamed } from "../../src/sky/night.js";
import { horizontal } from "../../src/sky/place-at.js";
import { riseTransitSet } from "../../src/sky/rise-set.js";
import { bodyNamed, fixedAt, ternHollow } from "./things.js";
import { twilightsOf } from "./twilights.js";

const night = nightNamed("2026-11-25", "America/Chicago");

test("it stands at the limit when it rises and sets, and highest in between", () => {
  const target = fixedAt(83.8, 20);
  const found = riseTransitSet(target, night, ternHollow, 20);
  const altitude = (unixMs: number): number => horizontal(target, unixMs, ternHollow).altitudeDegrees;
  expect(altitude(found.riseUnixMs!)).toBeCloseTo(20, 3);
  expect(altitude(found.setUnixMs!)).toBeCloseTo(20, 3);
  expect(altitude(found.transitUnixMs!)).toBeCloseTo(found.transitAltitudeDegrees!, 3);
  expect(altitude(found.transitUnixMs! - MINUTE)).toBeLessThan(found.transitAltitudeDegrees!);
  expect(altitude(found.transitUnixMs! + MINUTE)).toBeLessThan(found.transitAltitudeDegrees!);
});

test("what never sets is always up, with a transit; what never rises is never up", () => {
  const circumpolar = riseTransitSet(fixedAt(200, 75), night, ternHollow, 20);
  expect(circumpolar).toMatchObject({ course: "always-up", riseUnixMs: null, setUnixMs: null });
  expect(circumpolar.transitUnixMs).not.toBeNull();
  expect(riseTransitSet(fixedAt(0, -60), night, ternHollow, 0).course).toBe("never-up");
});

test("without a limit, planets and stars rise through 34′ of refraction", () => {
  const { riseUnixMs } = riseTransitSet(bodyNamed("Jupiter"), night, ternHollow);
  expect(horizontal(bodyNamed("Jupiter"), riseUnixMs!, ternHollow).altitudeDegrees).toBeCloseTo(-34 / 60, 3);
});

test("the Sun's own setting is the sunset of the twilights", () => {
  const { sunset } = twilightsOf(night, ternHollow);
  const sun = riseTransitSet("Sun", night, ternHollow);
  expect(Math.abs(sun.setUnixMs! - sunset.duskUnixMs!)).toBeLessThan(10);
  expect(Math.abs(sun.riseUnixMs! - sunset.dawnUnixMs!)).toBeLessThan(10);
});
