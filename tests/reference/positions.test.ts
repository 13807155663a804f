/** Altitudes and azimuths against astropy over ERFA, for nine sites from 78° S to 78° N and the years 2024 to 2030. */
import { expect, test } from "vitest";
import { HOUR } from "../../src/base/units.js";
import type { NamedBody } from "../../src/sky/ephemeris.js";
import { horizontal } from "../../src/sky/place-at.js";
import { bodyTrack, horizontalOf, sinAltitudeAt, trackOf } from "../../src/sky/track.js";
import { fixedAt, nightFrom } from "../sky/things.js";
import { apart, reference, sites } from "./reference.js";

/** Asked: 0.002° for fixed targets, 0.01° for Sun, Moon and planets. */
const FIXED_TOLERANCE = 0.002;
const BODY_TOLERANCE = 0.01;

test("the reference holds at least 200 altitudes and azimuths of fixed targets", () => {
  expect(reference.fixed.length).toBeGreaterThanOrEqual(200);
});

test("fixed targets stand where ERFA puts them", () => {
  for (const [site, unixMs, ra, dec, altitude, azimuth] of reference.fixed) {
    const place = horizontal(fixedAt(ra, dec), unixMs, sites[site]!);
    expect(apart(place, altitude, azimuth), `${ra} ${dec}`).toBeLessThan(FIXED_TOLERANCE);
  }
});

test("a track made for the night agrees at its very ends", () => {
  for (const [site, unixMs, ra, dec, altitude, azimuth] of reference.fixed) {
    for (const start of [unixMs, unixMs - 24 * HOUR]) {
      const track = trackOf(fixedAt(ra, dec), nightFrom(start), sites[site]!);
      expect(apart(horizontalOf(track, unixMs), altitude, azimuth)).toBeLessThan(FIXED_TOLERANCE);
      expect(Math.asin(sinAltitudeAt(track, unixMs)) * (180 / Math.PI)).toBeCloseTo(altitude, 2);
    }
  }
});

test("Sun, Moon and planets stand where the reference puts them, parallax included", () => {
  for (const [site, unixMs, body, altitude, azimuth] of reference.bodies) {
    expect(apart(horizontal(body, unixMs, sites[site]!), altitude, azimuth), body).toBeLessThan(
      BODY_TOLERANCE,
    );
  }
});

test("a moving body's track agrees anywhere in the night", () => {
  for (const [site, unixMs, body, altitude, azimuth] of reference.bodies) {
    for (const hours of [0, 7, 13.3, 24]) {
      const track = bodyTrack(body, nightFrom(unixMs - hours * HOUR), sites[site]!);
      expect(apart(horizontalOf(track, unixMs), altitude, azimuth), body).toBeLessThan(BODY_TOLERANCE);
    }
  }
});

test("every planet, the Moon and the Sun are in the reference", () => {
  const bodies = new Set(reference.bodies.map(([, , body]) => body));
  const expected: NamedBody[] = [
    "Sun",
    "Moon",
    "Mercury",
    "Venus",
    "Mars",
    "Jupiter",
    "Saturn",
    "Uranus",
    "Neptune",
  ];
  expect(bodies).toEqual(new Set(expected));
});
