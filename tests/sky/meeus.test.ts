/**
 * Worked examples of Jean Meeus, Astronomical Algorithms, 2nd ed. (Willmann-Bell 1998).
 * The book's figures are quoted from memory.
 */
import { describe, expect, test } from "vitest";
import { DAY, DEGREES_PER_RADIAN, SECOND } from "../../src/base/units.js";
import { TT_MINUS_UTC_SECONDS } from "../../src/sky/ephemeris.js";
import { moonPhase } from "../../src/sky/moon.js";
import { equatorial, horizontal, separationDegrees } from "../../src/sky/place-at.js";
import { riseTransitSet } from "../../src/sky/rise-set.js";
import { siderealRadians } from "../../src/sky/sidereal.js";
import { bodyTrack, placeAt } from "../../src/sky/track.js";
import { fixedAt, nightFrom, sexagesimal, siteAt } from "./things.js";

/** Sidereal time at Greenwich, hours. */
function greenwichHours(unixMs: number): number {
  const hours = (siderealRadians(unixMs, siteAt(0, 0)) * DEGREES_PER_RADIAN) / 15;
  return ((hours % 24) + 24) % 24;
}

describe("chapter 12, sidereal time", () => {
  test("example 12.a: 1987 April 10, 0h UT, apparent: 13h 10m 46.1351s", () => {
    const hours = greenwichHours(Date.UTC(1987, 3, 10));
    expect(Math.abs(hours - sexagesimal(13, 10, 46.1351)) * 3600).toBeLessThan(0.01);
  });

  test("example 12.b: 1987 April 10, 19h 21m UT, mean: 8h 34m 57.0896s (apparent is 0.2317 s less, by 12.a)", () => {
    const hours = greenwichHours(Date.UTC(1987, 3, 10, 19, 21));
    expect(Math.abs(hours - sexagesimal(8, 34, 57.0896 - 0.2317)) * 3600).toBeLessThan(0.01);
  });
});

describe("chapter 13, example 13.b: Venus from Washington, 1987 April 10, 19h 21m UT", () => {
  const site = siteAt(sexagesimal(38, 55, 17), -sexagesimal(77, 3, 56));
  const unixMs = Date.UTC(1987, 3, 10, 19, 21);
  // The book neglects the planet's parallax, here up to 0.002°.
  const tolerance = 0.003;

  test("apparent place 23h 09m 16.641s, −6° 43′ 11.61″", () => {
    const { rightAscensionRadians, declinationRadians } = equatorial("Venus", unixMs, site);
    const rightAscension = sexagesimal(23, 9, 16.641) * 15;
    expect(Math.abs(rightAscensionRadians * DEGREES_PER_RADIAN - rightAscension)).toBeLessThan(tolerance);
    const declination = -sexagesimal(6, 43, 11.61);
    expect(Math.abs(declinationRadians * DEGREES_PER_RADIAN - declination)).toBeLessThan(tolerance);
  });

  test("hour angle 64.352133°", () => {
    const { hourAngleRadians } = placeAt(bodyTrack("Venus", nightFrom(unixMs - DAY / 2), site), unixMs);
    expect(Math.abs(hourAngleRadians * DEGREES_PER_RADIAN - 64.352133)).toBeLessThan(tolerance);
  });

  test("altitude 15.1249°, azimuth 68.0337° counted from south, so 248.0337° from north", () => {
    const { altitudeDegrees, azimuthDegrees } = horizontal("Venus", unixMs, site);
    expect(Math.abs(altitudeDegrees - 15.1249)).toBeLessThan(tolerance);
    expect(Math.abs(azimuthDegrees - 248.0337)).toBeLessThan(tolerance);
  });
});

describe("chapter 15, example 15.a: Venus at Boston, 1988 March 20", () => {
  const start = Date.UTC(1988, 2, 20);
  const found = riseTransitSet("Venus", nightFrom(start), siteAt(42.3333, -71.0833));
  // Five decimals of a day are 0.9 s; Venus' parallax, which the book leaves out, is 1 s more.
  const tolerance = 5 * SECOND;

  test("rises at 0.51766 of the day", () => {
    expect(Math.abs(found.riseUnixMs! - (start + 0.51766 * DAY))).toBeLessThan(tolerance);
  });
  test("transits at 0.81980 of the day", () => {
    expect(Math.abs(found.transitUnixMs! - (start + 0.8198 * DAY))).toBeLessThan(tolerance);
  });
  test("sets at 0.12130 of the day", () => {
    expect(Math.abs(found.setUnixMs! - (start + 0.1213 * DAY))).toBeLessThan(tolerance);
  });
});

test("chapter 17, example 17.a: Arcturus and Spica are 32.7930° apart", () => {
  const arcturus = fixedAt(213.9154, 19.1825);
  const spica = fixedAt(201.2983, -11.1614);
  // The book compares J2000 places; between apparent ones aberration changes the angle by some arc seconds.
  const separation = separationDegrees(arcturus, spica, Date.UTC(2000, 0, 1, 12), siteAt(0, 0));
  expect(Math.abs(separation - 32.793)).toBeLessThan(0.006);
});

describe("chapter 48, example 48.a: the Moon on 1992 April 12, 0h TD", () => {
  const phase = moonPhase(Date.UTC(1992, 3, 12) - TT_MINUS_UTC_SECONDS * SECOND);

  test("phase angle 69.0756°", () => {
    expect(Math.abs(phase.phaseAngleDegrees - 69.0756)).toBeLessThan(0.01);
  });
  test("illuminated fraction 0.6786", () => {
    expect(phase.illuminatedFraction).toBeCloseTo(0.6786, 3);
  });
  test("which is a waxing gibbous Moon", () => {
    expect(phase.name).toBe("waxing gibbous");
  });
});
