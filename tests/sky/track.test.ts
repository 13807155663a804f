/** A track says the same as the ephemeris, at a fraction of its price, and keeps the sky's symmetries. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { DAY, DEGREES_PER_RADIAN, HOUR } from "../../src/base/units.js";
import type { NamedBody } from "../../src/sky/ephemeris.js";
import { horizontal } from "../../src/sky/place-at.js";
import { siderealMillis } from "../../src/sky/sidereal.js";
import {
  angleBetween,
  bodyTrack,
  horizontalOf,
  placeAt,
  siderealRadians,
  sinAltitude,
  sinAltitudeAt,
  trackOf,
} from "../../src/sky/track.js";
import { fixedAt, nightFrom, siteAt, ternHollow } from "./things.js";

const start = Date.UTC(2026, 10, 25, 18);
const night = nightFrom(start);

const degrees = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const instants = fc.integer({ min: start, max: start + DAY });

describe("a track", () => {
  test("agrees with the ephemeris within half an arc second for any fixed target, all night", () => {
    fc.assert(
      fc.property(degrees(0, 359.99), degrees(-89.9, 89.9), instants, (ra, dec, unixMs) => {
        const target = fixedAt(ra, dec);
        const direct = horizontal(target, unixMs, ternHollow);
        const tracked = horizontalOf(trackOf(target, night, ternHollow), unixMs);
        expect(Math.abs(tracked.altitudeDegrees - direct.altitudeDegrees) * 3600).toBeLessThan(0.5);
      }),
    );
  });

  test("agrees with the ephemeris within a fifth of an arc second for any body, all night", () => {
    const bodies: NamedBody[] = ["Sun", "Moon", "Mercury", "Venus", "Mars", "Jupiter", "Saturn", "Neptune"];
    fc.assert(
      fc.property(fc.constantFrom(...bodies), instants, (body, unixMs) => {
        const direct = horizontal(body, unixMs, ternHollow);
        const tracked = horizontalOf(bodyTrack(body, night, ternHollow), unixMs);
        expect(Math.abs(tracked.altitudeDegrees - direct.altitudeDegrees) * 3600).toBeLessThan(0.2);
      }),
    );
  });

  test("gives one altitude by whichever way it is asked", () => {
    fc.assert(
      fc.property(fc.constantFrom<NamedBody>("Moon", "Mars"), instants, (body, unixMs) => {
        const track = bodyTrack(body, night, ternHollow);
        const theta = siderealRadians(unixMs, ternHollow);
        const quick = sinAltitude(track, unixMs, Math.cos(theta), Math.sin(theta));
        expect(quick).toBe(sinAltitudeAt(track, unixMs));
        const altitude = horizontalOf(track, unixMs).altitudeDegrees;
        expect(Math.asin(quick) * DEGREES_PER_RADIAN).toBeCloseTo(altitude, 9);
      }),
    );
  });

  test("stands equally high equally long before and after the meridian", () => {
    fc.assert(
      fc.property(degrees(0, 359.99), degrees(-89, 89), degrees(0, Math.PI), (ra, dec, away) => {
        const track = trackOf(fixedAt(ra, dec), night, ternHollow);
        const { hourAngleRadians } = placeAt(track, start);
        const transit = start - siderealMillis(hourAngleRadians);
        const before = horizontalOf(track, transit - siderealMillis(away));
        const after = horizontalOf(track, transit + siderealMillis(away));
        expect(before.altitudeDegrees).toBeCloseTo(after.altitudeDegrees, 4);
      }),
    );
  });

  test("culminates at 90° less the distance between latitude and declination", () => {
    fc.assert(
      fc.property(degrees(0, 359.99), degrees(-89, 89), degrees(-89, 89), (ra, dec, latitude) => {
        const track = trackOf(fixedAt(ra, dec), night, siteAt(latitude, 10));
        const { hourAngleRadians, declinationRadians } = placeAt(track, start);
        const top = horizontalOf(track, start - siderealMillis(hourAngleRadians)).altitudeDegrees;
        expect(top).toBeCloseTo(90 - Math.abs(latitude - declinationRadians * DEGREES_PER_RADIAN), 3);
      }),
    );
  });

  test("of the celestial pole stands still at the latitude, due north", () => {
    const track = trackOf(fixedAt(0, 90), night, ternHollow);
    for (const hours of [0, 6, 12, 18]) {
      const { altitudeDegrees, azimuthDegrees } = horizontalOf(track, start + hours * HOUR);
      // Precession has carried the pole 9′ away from where it was in 2000.
      expect(Math.abs(altitudeDegrees - ternHollow.latitudeDegrees)).toBeLessThan(0.16);
      expect(Math.abs(((azimuthDegrees + 180) % 360) - 180)).toBeLessThan(0.22);
    }
  });

  test("gives azimuths from 0 up to, not including, 360", () => {
    fc.assert(
      fc.property(degrees(0, 359.99), degrees(-90, 90), instants, (ra, dec, unixMs) => {
        const { azimuthDegrees } = horizontalOf(trackOf(fixedAt(ra, dec), night, ternHollow), unixMs);
        expect(azimuthDegrees).toBeGreaterThanOrEqual(0);
        expect(azimuthDegrees).toBeLessThan(360);
      }),
    );
  });
});

test("the Moon's parallax is felt: it stands up to a degree lower than from the Earth's centre", () => {
  const track = bodyTrack("Moon", night, ternHollow);
  const theta = siderealRadians(start, ternHollow);
  const ground = { ...track.ground, axialAu: 0, equatorialAu: 0, zenithAu: 0 };
  const geocentric = sinAltitude({ ...track, ground }, start, Math.cos(theta), Math.sin(theta));
  const lower = (Math.asin(geocentric) - Math.asin(sinAltitudeAt(track, start))) * DEGREES_PER_RADIAN;
  const altitude = Math.asin(sinAltitudeAt(track, start));
  // Horizontal parallax 57′ ± 4′ (Meeus, ch. 40), times the cosine of the altitude.
  expect(lower / Math.cos(altitude)).toBeGreaterThan(0.88);
  expect(lower / Math.cos(altitude)).toBeLessThan(1.03);
});

test("the angle between directions is exact when they are opposite and when they nearly meet", () => {
  const x = { x: 1, y: 0, z: 0 };
  expect(angleBetween(x, { x: -1, y: 0, z: 0 })).toBe(180);
  expect(angleBetween(x, { x: 1, y: 1e-9, z: 0 })).toBeCloseTo(1e-9 * DEGREES_PER_RADIAN, 15);
});
