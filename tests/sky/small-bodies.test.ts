/** Orbits of minor planets and comets, against worked examples, another program's ephemeris and one another. */
import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { DAY, DEGREES_PER_RADIAN, HOUR } from "../../src/base/units.js";
import { orbitSeen, TT_MINUS_UTC_SECONDS } from "../../src/sky/ephemeris.js";
import { horizontal } from "../../src/sky/place-at.js";
import { orbitMagnitude } from "../../src/sky/small-bodies/brightness.js";
import { elementsYear, expectedErrorArcminutes } from "../../src/sky/small-bodies/expected-error.js";
import { heliocentric, type Orbit, UNIX_JULIAN_DATE } from "../../src/sky/small-bodies/orbit.js";
import { readOrbits } from "../../src/sky/small-bodies/orbit-lines.js";
import type { SmallBodyTarget } from "../../src/sky/target.js";
import { horizontalOf, trackOf } from "../../src/sky/track.js";
import { length } from "../../src/sky/vector.js";
import { nightFrom, sexagesimal, siteAt } from "./things.js";

const FILE = readFileSync("config/small-bodies.txt", "utf8");
const named = (name: string, text = FILE): SmallBodyTarget =>
  readOrbits(text).bodies.find(({ names }) => names.includes(name))!.target;

/** Elements that only the shape and the perihelion of matter in. */
function orbit(perihelionAu: number, eccentricity: number, change: Partial<Orbit> = {}): Orbit {
  const angles = { inclinationDegrees: 0, nodeDegrees: 0, argumentDegrees: 0 };
  const dates = { perihelionJulianDate: 2_451_545, epochJulianDate: 2_451_545 };
  return { perihelionAu, eccentricity, ...angles, ...dates, brightness: null, ...change };
}

/** True anomaly (degrees from perihelion) and distance, so many days after perihelion. */
function along(perihelionAu: number, eccentricity: number, days: number): [degrees: number, au: number] {
  const place = heliocentric(orbit(perihelionAu, eccentricity), 2_451_545 + days);
  const inPlane = Math.atan2(Math.hypot(place.y, place.z) * Math.sign(place.y), place.x);
  return [(inPlane * DEGREES_PER_RADIAN + 360) % 360, length(place)];
}

describe("Meeus, Astronomical Algorithms, 2nd ed. (figures from memory)", () => {
  test("chapter 30: e = 0.1, M = 5°: the eccentric anomaly is 5.554589°", () => {
    const days = (5 / 360) * ((2 * Math.PI) / 0.01720209895);
    const [degrees, au] = along(0.9, 0.1, days);
    const eccentric = 2 * Math.atan(Math.sqrt(0.9 / 1.1) * Math.tan(degrees / 2 / DEGREES_PER_RADIAN));
    expect(eccentric * DEGREES_PER_RADIAN).toBeCloseTo(5.554589, 5);
    expect(au).toBeCloseTo(1 - 0.1 * Math.cos(eccentric), 9);
  });

  test("example 33.a: Encke's comet on 1990 October 6.0 TD stands at 10h 34m 14.2s, +19° 09′ 31″", () => {
    const a = 2.2091404;
    const e = 0.8502196;
    const encke = orbit(a * (1 - e), e, {
      inclinationDegrees: 11.94524,
      nodeDegrees: 334.75006,
      argumentDegrees: 186.23352,
      perihelionJulianDate: 2_448_192.5 + 0.54502,
    });
    const unixMs = (2_448_170.5 - UNIX_JULIAN_DATE) * DAY - TT_MINUS_UTC_SECONDS * 1000;
    const { x, y, z } = orbitSeen(encke, unixMs).astrometric;
    expect((Math.atan2(y, x) * DEGREES_PER_RADIAN) / 15).toBeCloseTo(sexagesimal(10, 34, 14.2), 4);
    expect(Math.atan2(z, Math.hypot(x, y)) * DEGREES_PER_RADIAN).toBeCloseTo(sexagesimal(19, 9, 31), 3);
  });

  test("example 34.a: a parabola with q = 1.487469, 112.5642 days on: 66.78862°, 2.133911 AU", () => {
    const [degrees, au] = along(1.487469, 1, 112.5642);
    expect(degrees).toBeCloseTo(66.78862, 4);
    expect(au).toBeCloseTo(2.133911, 5);
  });

  // Chapter 35, table 35.A.
  test.each([
    [0.921326, 1, 138.4783, 102.74426, 2.364192],
    [0.1, 0.987, 254.9, 164.50029, 4.063777],
    [0.123456, 0.99997, -30.47, 221.9119, 0.965053],
    [3.363943, 1.05731, 1237.1, 109.40598, 10.668551],
    [0.5871018, 0.9672746, 20, 52.85331, 0.729116],
    [0.5871018, 0.9672746, 0, 0, 0.5871018],
  ])("chapter 35: q = %d, e = %d, %d days: %d°, %d AU", (q, e, days, degrees, au) => {
    const found = along(q, e, days);
    expect(found[0]).toBeCloseTo(degrees, 4);
    expect(found[1]).toBeCloseTo(au, 5);
  });
});

describe("the Minor Planet Center's lines", () => {
  // JPL Horizons, astrometric J2000, 2026-09-29 12:00 UT, quoted in a public test of another program.
  test.each([
    ["10P", 341.46946, -33.91843],
    ["161P", 355.85899, -7.88231],
    ["C/2026 A2", 268.71831, 69.2468],
  ])("put %s where Horizons has it, within 0.003°", (name, raDegrees, decDegrees) => {
    const { x, y, z } = orbitSeen(named(name).orbit, Date.UTC(2026, 8, 29, 12)).astrometric;
    const ra = (Math.atan2(y, x) * DEGREES_PER_RADIAN + 360) % 360;
    const dec = Math.atan2(z, Math.hypot(x, y)) * DEGREES_PER_RADIAN;
    expect(Math.abs(ra - raDegrees) * Math.cos(dec / DEGREES_PER_RADIAN)).toBeLessThan(0.003);
    expect(Math.abs(dec - decDegrees)).toBeLessThan(0.003);
  });

  test("give a minor planet its name, number, epoch and nearest perihelion", () => {
    const { bodies, faults } = readOrbits(FILE);
    expect(faults).toEqual([]);
    expect(bodies.map(({ target }) => target.id)).toEqual([
      ...["Ceres", "Pallas", "Juno", "Vesta"],
      ...["10P", "161P", "C2026A2"],
    ]);
    expect(elementsYear(named("1 Ceres"))).toBe(2026);
    // K2669 is 2026 June 9; Ceres is 274° past its perihelion, so the next is 400 days off.
    expect(named("Ceres").orbit.epochJulianDate).toBe(2_461_200.5);
    expect(named("Ceres").orbit.perihelionJulianDate - 2_461_200.5).toBeCloseTo(
      (360 - 274.41935) / 0.21430445,
      2,
    );
  });

  test("are told apart from what is no orbit, with the line's number", () => {
    const { bodies, faults } = readOrbits(`# a note\n\n${FILE.split("\n")[2]}\nCeres is a dwarf planet\n`);
    expect(bodies).toHaveLength(1);
    expect(faults).toEqual([{ line: 4, what: expect.stringContaining("packed date") }]);
  });

  test("that are cut short or shifted are faults, never wild orbits", () => {
    for (const line of FILE.split("\n").filter((each) => /^[ \d]/.test(each)))
      for (let cut = 20; cut < 100; cut += 3) {
        const { bodies, faults } = readOrbits(line.slice(0, cut));
        expect(bodies.length + faults.length).toBe(1);
        for (const { target } of bodies) expect(target.orbit.perihelionAu).toBeGreaterThan(0);
      }
  });

  test("of hostile text end nowhere but in faults", () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 220 }), (text) => {
        const { bodies } = readOrbits(text);
        for (const { target } of bodies)
          expect(length(heliocentric(target.orbit, 2_461_000))).toBeGreaterThan(0);
      }),
    );
  });
});

test("each body of the file stands where skyfield's propagation and ERFA's Earth put it, over two years to 4″", () => {
  const places: [name: string, julianDate: number, ra: number, dec: number][] = JSON.parse(
    readFileSync("tests/reference/orbits.json", "utf8"),
  );
  // In the order of the file's lines.
  const names = [...new Set(places.map(([name]) => name))];
  const { bodies } = readOrbits(FILE);
  expect(names).toHaveLength(bodies.length);
  for (const [name, julianDate, ra, dec] of places) {
    const { orbit: listed } = bodies[names.indexOf(name)]!.target;
    const unixMs = (julianDate - UNIX_JULIAN_DATE) * DAY - TT_MINUS_UTC_SECONDS * 1000;
    const { x, y, z } = orbitSeen(listed, unixMs).astrometric;
    const away = Math.hypot(
      (((Math.atan2(y, x) * DEGREES_PER_RADIAN - ra + 540) % 360) - 180) * Math.cos(dec / DEGREES_PER_RADIAN),
      Math.atan2(z, Math.hypot(x, y)) * DEGREES_PER_RADIAN - dec,
    );
    // 10P passes at 0.4 au: what two ephemerides differ by in the Earth's place counts the more.
    expect(away * 3600, `${name} at ${julianDate}`).toBeLessThan(4);
  }
});

test("every orbit obeys Kepler's area law and the law of energy, from circle to hyperbola", () => {
  const shapes = fc.record({
    q: fc.double({ min: 0.05, max: 30, noNaN: true }),
    e: fc.oneof(fc.double({ min: 0, max: 3, noNaN: true }), fc.constantFrom(0, 1, 1 - 1e-9, 1 + 1e-9)),
    days: fc.double({ min: -20_000, max: 20_000, noNaN: true }),
  });
  fc.assert(
    fc.property(shapes, ({ q, e, days }) => {
      const step = 0.001;
      const at = (when: number) => heliocentric(orbit(q, e), 2_451_545 + when);
      const [before, here, after] = [at(days - step), at(days), at(days + step)];
      const speed =
        length({ x: after.x - before.x, y: after.y - before.y, z: after.z - before.z }) / (2 * step);
      const energy = 2 / length(here) - (1 - e) / q;
      expect((speed / 0.01720209895) ** 2 / energy).toBeCloseTo(1, 3);
    }),
  );
});

test("a tracked body stands where it is computed straight, its parallax included", () => {
  const site = siteAt(38, -98);
  const start = Date.UTC(2026, 10, 28, 18);
  for (const name of ["Ceres", "Vesta", "161P"]) {
    const track = trackOf(named(name), nightFrom(start), site);
    for (let hour = 0; hour < 24; hour += 5) {
      const one = horizontalOf(track, start + hour * HOUR);
      const other = horizontal(named(name), start + hour * HOUR, site);
      expect(Math.abs(one.altitudeDegrees - other.altitudeDegrees)).toBeLessThan(0.0005);
    }
  }
});

test("brightness follows the published laws: H for a body at 1 AU from Sun and Earth, seen full", () => {
  const full = orbit(1e3, 0, { brightness: { law: "H-G", absolute: 5, slope: 0.15 } });
  const far = orbitMagnitude(full, Date.UTC(2026, 0, 1)) as number;
  expect(far - 5 * Math.log10(1e3 * 1e3)).toBeCloseTo(5, 1);
  // Vesta's opposition of 2026 October 13: magnitude 6.3 (almanacs, from memory).
  expect(orbitMagnitude(named("Vesta").orbit, Date.UTC(2026, 9, 13))).toBeCloseTo(6.4, 0);
});

test("the expected error grows with the elements' age and shrinks to nothing at their epoch", () => {
  const juno = named("Juno");
  const epoch = (juno.orbit.epochJulianDate - UNIX_JULIAN_DATE) * DAY;
  expect(expectedErrorArcminutes(juno, epoch)).toBe(0);
  const after = (years: number) => expectedErrorArcminutes(juno, epoch + years * 365.25 * DAY);
  expect(after(1)).toBeGreaterThan(0.8);
  expect(after(4)).toBeGreaterThan(10 * after(1));
});

test("elements of 2020, carried on to those of later years, are as far out as is expected of them", () => {
  const older = `00003    5.2   0.15 K205V 125.43538  248.06618  169.85147   12.99105  0.2569364  0.22612870   2.6682853  0 MPO525910  7020 106 1821-2020 0.59 M-v 38h Williams   0000      (3) Juno               20200109
00004    3.0   0.15 K205V 204.32771  150.87483  103.80908    7.14190  0.0885158  0.27150657   2.3620141  0 MPO525910  6941 102 1821-2019 0.60 M-p 18h Williams   0000      (4) Vesta              20191229`;
  for (const name of ["Juno", "Vesta"]) {
    const unixMs = (named(name).orbit.epochJulianDate - UNIX_JULIAN_DATE) * DAY;
    const now = orbitSeen(named(name).orbit, unixMs).astrometric;
    const then = orbitSeen(named(name, older).orbit, unixMs).astrometric;
    const apart = length({ x: now.x - then.x, y: now.y - then.y, z: now.z - then.z }) / length(now);
    const expected = expectedErrorArcminutes(named(name, older), unixMs);
    expect(apart * DEGREES_PER_RADIAN * 60).toBeLessThan(2 * expected);
    expect(apart * DEGREES_PER_RADIAN * 60).toBeGreaterThan(expected / 8);
  }
});
