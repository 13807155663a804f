import { Body, Equator, Horizon, Observer, SiderealTime } from "astronomy-engine";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { slewSeconds } from "../../src/observatory/action-times.js";
import { aimAfterTracking, aimAt, aimAtPlace } from "../../src/observatory/aim.js";
import { shorterTurnDegrees } from "../../src/observatory/axis.js";
import { nightNamed } from "../../src/sky/night.js";
import type { FixedTarget } from "../../src/sky/target.js";
import { trackOf } from "../../src/sky/track.js";
import {
  anyKind,
  anyNumber,
  anyPlace,
  centredDome,
  clearOfMeridian,
  ternHollow,
  withMount,
} from "./example.js";

const night = nightNamed("2026-11-25", "America/Chicago");
const fork = withMount("equatorial-fork");
const german = withMount("german-equatorial");
const altazimuth = withMount("altazimuth");

function fixed(id: string, raDegrees: number, decDegrees: number): FixedTarget {
  return {
    kind: "fixed",
    id,
    name: id,
    type: "position",
    raDegrees,
    decDegrees,
    magnitude: null,
    sizeArcminutes: null,
  };
}

describe("an equatorial fork", () => {
  it("is aimed by hour angle and declination, never flipped", () => {
    fc.assert(
      fc.property(anyPlace, (place) => {
        const aim = aimAtPlace(place, fork);
        expect(aim.firstAxisDegrees).toBeCloseTo((place.hourAngleRadians * 180) / Math.PI, 9);
        expect(aim.secondAxisDegrees).toBeCloseTo((place.declinationRadians * 180) / Math.PI, 9);
        expect(aim.flipped).toBe(false);
      }),
    );
  });

  it("does not turn through the lower meridian", () => {
    const east = aimAtPlace({ hourAngleRadians: -3, declinationRadians: 1.3 }, fork);
    const west = aimAtPlace({ hourAngleRadians: 3, declinationRadians: 1.3 }, fork);
    const degrees = (6 * 180) / Math.PI;
    expect(slewSeconds(east, west, fork.mount)).toBeCloseTo(degrees / 3 + 2, 6);
  });

  it("follows a circumpolar target through the lower meridian without unwinding", () => {
    const track = trackOf(fixed("J1", 200, 75), night, ternHollow.site);
    const lower = transitNear(track) - 12 * 3_600_000 + 118_000;
    const start = aimAt(track, lower - 900_000, fork);
    const end = aimAfterTracking(start, track, lower + 900_000, fork);
    expect(start.firstAxisDegrees).toBeGreaterThan(170);
    expect(end.firstAxisDegrees).toBeGreaterThan(180);
    expect(end.firstAxisDegrees - start.firstAxisDegrees).toBeCloseTo((1800 * 15.041) / 3600, 2);
  });

  it("stands where the ephemeris library says, for a target of date", () => {
    const unixMs = night.startUnixMs + 10 * 3_600_000;
    const observer = new Observer(42.5, -100.5, 950);
    const equator = Equator(Body.Jupiter, new Date(unixMs), observer, true, true);
    const jupiter = {
      kind: "body",
      id: "jupiter",
      name: "Jupiter",
      type: "planet",
      body: "Jupiter",
    } as const;
    const aim = aimAt(trackOf(jupiter, night, ternHollow.site), unixMs, fork);
    const hours = SiderealTime(new Date(unixMs)) - 100.5 / 15 - equator.ra;
    expect(shorterTurnDegrees(aim.firstAxisDegrees, hours * 15)).toBeLessThan(0.01);
    expect(aim.secondAxisDegrees).toBeCloseTo(equator.dec, 2);
  });
});

describe("a German mount", () => {
  it("flips for a target east of the meridian and for no other", () => {
    fc.assert(
      fc.property(anyPlace, (place) => {
        expect(aimAtPlace(place, german).flipped).toBe(place.hourAngleRadians < 0);
      }),
    );
  });

  it("keeps its polar axis within one half turn, whichever the target", () => {
    fc.assert(
      fc.property(anyPlace, (place) => {
        const { firstAxisDegrees } = aimAtPlace(place, german);
        expect(firstAxisDegrees).toBeGreaterThanOrEqual(0);
        expect(firstAxisDegrees).toBeLessThanOrEqual(180);
      }),
    );
  });

  // By hand: the polar axis turns 180° less the 2° between the targets: 178/3 + 2 s.
  it("needs a half turn from just east to just west of the meridian", () => {
    const one = Math.PI / 180;
    const east = aimAtPlace({ hourAngleRadians: -one, declinationRadians: 0.5 }, german);
    const west = aimAtPlace({ hourAngleRadians: one, declinationRadians: 0.5 }, german);
    expect(slewSeconds(east, west, german.mount)).toBeCloseTo(178 / 3 + 2, 9);
    expect(slewSeconds(east, west, { ...german.mount, kind: "equatorial-fork" })).toBeGreaterThan(10);
  });

  it("carries the declination axis beyond the pole it can see", () => {
    const place = { hourAngleRadians: -1, declinationRadians: 0.5 };
    const southern = withMount("german-equatorial", { latitudeDegrees: -30 });
    expect(aimAtPlace(place, german).secondAxisDegrees).toBeCloseTo(180 - (0.5 * 180) / Math.PI, 9);
    expect(aimAtPlace(place, southern).secondAxisDegrees).toBeCloseTo(-180 - (0.5 * 180) / Math.PI, 9);
  });

  it("looks the same way on either side of the pier", () => {
    const atCentre = withMount("german-equatorial", { dome: centredDome });
    fc.assert(
      fc.property(anyPlace, (place) => {
        const normal = aimAtPlace(place, atCentre, false);
        const flipped = aimAtPlace(place, atCentre, true);
        expect(normal.domeAzimuthDegrees).toBeCloseTo(flipped.domeAzimuthDegrees, 9);
      }),
    );
  });

  it("stays on its side while it follows a target across the meridian", () => {
    const track = trackOf(fixed("J0", 20, 40), night, ternHollow.site);
    const transit = transitNear(track);
    const before = transit - 600_000;
    const start = aimAt(track, before, german);
    const end = aimAfterTracking(start, track, transit + 600_000, german);
    expect(start.flipped).toBe(true);
    expect(end.flipped).toBe(true);
    expect(end.firstAxisDegrees - start.firstAxisDegrees).toBeCloseTo((1200 * 15.041) / 3600, 3);
    expect(aimAt(track, transit + 600_000, german).flipped).toBe(false);
  });
});

describe("an altazimuth mount", () => {
  it("is aimed by azimuth and altitude as the ephemeris library gives them, the zenith included", () => {
    const observer = new Observer(42.5, -100.5, 950);
    fc.assert(
      fc.property(anyNumber(0, 360), anyNumber(-60, 90), anyNumber(0, 24), (ra, dec, hours) => {
        const unixMs = night.startUnixMs + hours * 3_600_000;
        const hourAngle = (SiderealTime(new Date(unixMs)) - 100.5 / 15) * 15 - ra;
        const place = {
          hourAngleRadians: (hourAngle * Math.PI) / 180,
          declinationRadians: (dec * Math.PI) / 180,
        };
        const aim = aimAtPlace(place, altazimuth);
        const truth = Horizon(new Date(unixMs), observer, ra / 15, dec);
        expect(aim.secondAxisDegrees).toBeCloseTo(truth.altitude, 2);
        const level = Math.cos((truth.altitude * Math.PI) / 180);
        const apart = shorterTurnDegrees(aim.firstAxisDegrees, truth.azimuth) * level;
        expect(apart).toBeLessThan(0.01);
        expect(aim.flipped).toBe(false);
      }),
    );
    const zenith = { hourAngleRadians: 0, declinationRadians: (42.5 * Math.PI) / 180 };
    expect(aimAtPlace(zenith, altazimuth).secondAxisDegrees).toBeCloseTo(90, 5);
  });

  it("turns the shorter way across north", () => {
    const from = { firstAxisDegrees: 355, secondAxisDegrees: 40, flipped: false, domeAzimuthDegrees: 0 };
    const to = { ...from, firstAxisDegrees: 5 };
    expect(slewSeconds(from, to, altazimuth.mount)).toBeCloseTo(10 / 3 + 2, 9);
  });
});

describe("a slew between two places", () => {
  it("takes as long back as there, and no time to stay, on any mount", () => {
    fc.assert(
      fc.property(anyKind, anyPlace, anyPlace, (kind, here, there) => {
        const observatory = withMount(kind);
        const from = aimAtPlace(here, observatory);
        const to = aimAtPlace(there, observatory);
        expect(slewSeconds(to, from, observatory.mount)).toBeCloseTo(
          slewSeconds(from, to, observatory.mount),
          9,
        );
        expect(slewSeconds(from, from, observatory.mount)).toBe(0);
      }),
    );
  });

  it("is never quicker by way of a third place, on any mount", () => {
    fc.assert(
      fc.property(anyKind, anyPlace, anyPlace, anyPlace, (kind, one, two, three) => {
        const { mount } = withMount(kind);
        const [a, b, c] = [one, two, three].map((place) => aimAtPlace(place, withMount(kind)));
        const detour = slewSeconds(a!, b!, mount) + slewSeconds(b!, c!, mount);
        expect(slewSeconds(a!, c!, mount)).toBeLessThanOrEqual(detour + 1e-9);
      }),
    );
  });

  it("takes as long between the mirror images east and west of the meridian", () => {
    fc.assert(
      fc.property(anyKind, anyPlace, anyPlace, (kind, here, there) => {
        const observatory = withMount(kind);
        fc.pre(clearOfMeridian(here) && clearOfMeridian(there));
        const mirror = (place: typeof here) => ({ ...place, hourAngleRadians: -place.hourAngleRadians });
        const time = (from: typeof here, to: typeof here): number =>
          slewSeconds(aimAtPlace(from, observatory), aimAtPlace(to, observatory), observatory.mount);
        expect(time(mirror(here), mirror(there))).toBeCloseTo(time(here, there), 6);
      }),
    );
  });
});

/** Upper transit on this night, by bisection of the hour angle of a fork. */
function transitNear(track: ReturnType<typeof trackOf>): number {
  let early = night.startUnixMs;
  while (aimAt(track, early, fork).firstAxisDegrees > -90 || aimAt(track, early, fork).firstAxisDegrees > 0)
    early += 1_800_000;
  let late = early + 12 * 3_600_000;
  for (let step = 0; step < 60; step++) {
    const middle = (early + late) / 2;
    if (aimAt(track, middle, fork).firstAxisDegrees < 0) early = middle;
    else late = middle;
  }
  return late;
}
