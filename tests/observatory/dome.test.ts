import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { RADIANS_PER_DEGREE } from "../../src/base/units.js";
import { aimAtPlace } from "../../src/observatory/aim.js";
import { shorterTurnDegrees } from "../../src/observatory/axis.js";
import { directionTo, type Horizontal } from "../../src/observatory/direction.js";
import { slitAzimuthDegrees } from "../../src/observatory/dome.js";
import type { Dome } from "../../src/observatory/observatory.js";
import {
  anyKind,
  anyNumber,
  anyPlace,
  centredDome,
  clearOfMeridian,
  exampleDome,
  withMount,
} from "./example.js";

const anyDome: fc.Arbitrary<Dome> = fc
  .record({
    north: anyNumber(-0.6, 0.6),
    east: anyNumber(-0.6, 0.6),
    up: anyNumber(-0.6, 0.6),
    tube: anyNumber(0, 0.8),
  })
  .map(({ tube, ...mount }) => ({ ...exampleDome, mountOffsetMetres: mount, tubeOffsetMetres: tube }));

describe("the dome's slit", () => {
  it("faces the target itself when mount and tube are at the dome's centre, whatever the mount", () => {
    fc.assert(
      fc.property(anyKind, anyPlace, anyNumber(-70, 70), (kind, place, latitudeDegrees) => {
        const line = directionTo(place, latitudeDegrees * RADIANS_PER_DEGREE);
        fc.pre(Math.hypot(line.north, line.east) > 1e-3);
        const aim = aimAtPlace(place, withMount(kind, { latitudeDegrees, dome: centredDome }));
        expect(shorterTurnDegrees(aim.domeAzimuthDegrees, azimuthOf(line))).toBeLessThan(1e-6);
      }),
    );
  });

  // By hand: mount 1 m east, tube level to the north, radius 2.25 m: leaves at north √(2.25² − 1) = 2.0156 m.
  it("faces 26.39° for a level tube to the north, 1 m east of the centre of a 4.5 m dome", () => {
    const dome = { ...centredDome, mountOffsetMetres: { north: 0, east: 1, up: 0 } };
    const slit = slitAzimuthDegrees(dome, { north: 1, east: 0, up: 0 }, { north: 0, east: 1, up: 0 });
    expect(slit).toBeCloseTo((Math.atan2(1, Math.sqrt(2.25 ** 2 - 1)) * 180) / Math.PI, 9);
    expect(slit).toBeCloseTo(26.387, 2);
  });

  // By hand: a German mount's tube on the meridian hangs 0.5 m east (or west, flipped) of the axis.
  it("faces the side where a German mount carries its tube", () => {
    const dome = { ...centredDome, tubeOffsetMetres: 0.5 };
    const observatory = withMount("german-equatorial", { latitudeDegrees: 0, dome });
    const south45 = { hourAngleRadians: 0, declinationRadians: -Math.PI / 4 };
    const level = (Math.sqrt(2.25 ** 2 - 0.25) * Math.SQRT2) / 2;
    const turn = (Math.atan2(0.5, level) * 180) / Math.PI;
    expect(aimAtPlace(south45, observatory, false).domeAzimuthDegrees).toBeCloseTo(180 - turn, 9);
    expect(aimAtPlace(south45, observatory, true).domeAzimuthDegrees).toBeCloseTo(180 + turn, 9);
  });

  // By hand: level to the north with the tube 0.5 m to the right of it: leaves at asin(0.5 / 2.25) east of north.
  it("faces beside an altazimuth mount that carries its tube to the right", () => {
    const observatory = withMount("altazimuth", {
      latitudeDegrees: 0,
      dome: { ...centredDome, tubeOffsetMetres: 0.5 },
    });
    const northPole = { hourAngleRadians: 0, declinationRadians: Math.PI / 2 };
    const expected = (Math.asin(0.5 / 2.25) * 180) / Math.PI;
    expect(aimAtPlace(northPole, observatory).domeAzimuthDegrees).toBeCloseTo(expected, 9);
  });

  it("agrees with walking along the tube's line until it meets the sphere", () => {
    fc.assert(
      fc.property(anyDome, anyUnit(), anyUnit(), (dome, line, side) => {
        const exit = walkToSphere(dome, line, side);
        fc.pre(Math.hypot(exit.north, exit.east) > 0.05);
        const slit = slitAzimuthDegrees(dome, line, side);
        expect(shorterTurnDegrees(slit, azimuthOf(exit))).toBeLessThan(1e-6);
        expect(slit).toBeGreaterThanOrEqual(0);
        expect(slit).toBeLessThan(360);
      }),
    );
  });

  it("mirrors east and west when the mount stands on the meridian line", () => {
    fc.assert(
      fc.property(anyPlace, anyNumber(-0.8, 0.8), anyNumber(0, 0.8), (place, north, tube) => {
        fc.pre(clearOfMeridian(place));
        const dome = {
          ...centredDome,
          mountOffsetMetres: { north, east: 0, up: -0.2 },
          tubeOffsetMetres: tube,
        };
        const observatory = withMount("german-equatorial", { dome });
        const mirrored = { ...place, hourAngleRadians: -place.hourAngleRadians };
        const here = aimAtPlace(place, observatory).domeAzimuthDegrees;
        const there = aimAtPlace(mirrored, observatory).domeAzimuthDegrees;
        expect(shorterTurnDegrees(here, 360 - there)).toBeLessThan(1e-6);
      }),
    );
  });

  it("turns with the mount's offset, away from the plain target azimuth", () => {
    const observatory = withMount("equatorial-fork", {
      dome: { ...centredDome, mountOffsetMetres: { north: 0, east: 0.5, up: 0 } },
    });
    const place = { hourAngleRadians: 0, declinationRadians: 0.2 };
    expect(aimAtPlace(place, observatory).domeAzimuthDegrees).toBeLessThan(175);
  });
});

function azimuthOf(line: Horizontal): number {
  return (Math.atan2(line.east, line.north) * 180) / Math.PI;
}

function anyUnit(): fc.Arbitrary<Horizontal> {
  return fc
    .record({ azimuth: anyNumber(0, 2 * Math.PI), sinAltitude: anyNumber(-1, 1) })
    .map(({ azimuth, sinAltitude }) => {
      const level = Math.sqrt(1 - sinAltitude * sinAltitude);
      return { north: level * Math.cos(azimuth), east: level * Math.sin(azimuth), up: sinAltitude };
    });
}

/** Where the line crosses the sphere, by bisection: independent of the closed formula. */
function walkToSphere(dome: Dome, line: Horizontal, side: Horizontal): Horizontal {
  const at = (metres: number): Horizontal => ({
    north: dome.mountOffsetMetres.north + dome.tubeOffsetMetres * side.north + metres * line.north,
    east: dome.mountOffsetMetres.east + dome.tubeOffsetMetres * side.east + metres * line.east,
    up: dome.mountOffsetMetres.up + dome.tubeOffsetMetres * side.up + metres * line.up,
  });
  let inside = 0;
  let outside = 2 * dome.diameterMetres;
  for (let step = 0; step < 80; step++) {
    const middle = (inside + outside) / 2;
    const point = at(middle);
    if (Math.hypot(point.north, point.east, point.up) < dome.diameterMetres / 2) inside = middle;
    else outside = middle;
  }
  return at(inside);
}
