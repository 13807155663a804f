/** Windows and the reasons for their absence say the same, and the Sun comes first. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { DAY, HOUR, MINUTE } from "../../src/base/units.js";
import { loadConfig } from "../../src/config/load.js";
import type { Limits, Observatory } from "../../src/observatory/observatory.js";
import { type WhyNot, whyNot, windowsOf } from "../../src/observatory/window.js";
import { nightNamed, nightOf } from "../../src/sky/night.js";
import { separationDegrees, sunAltitudeDegrees } from "../../src/sky/place-at.js";
import type { Target } from "../../src/sky/target.js";
import { horizontalOf, trackOf } from "../../src/sky/track.js";
import { bodyNamed, fixedAt } from "../sky/things.js";

const { observatory } = loadConfig("config/tern-hollow.yaml");
const zone = observatory.site.timeZone;
const night = nightNamed("2026-11-25", zone);
/** 23:00 that evening. */
const elevenAtNight = night.startUnixMs + 11 * HOUR;

function withLimits(limits: Partial<Limits>): Observatory {
  return { ...observatory, limits: { ...observatory.limits, ...limits } };
}

/** No limit but the altitude and the Sun's. */
const bare = withLimits({ horizonMask: [], moonSeparationDegrees: 0, sunSeparationDegrees: 0 });

const galaxy = (ra: number, dec: number): Target => ({ ...fixedAt(ra, dec), type: "galaxy" });

describe("a window", () => {
  test("is open exactly while no limit forbids, for any target, mask, mount limit and instant", () => {
    const angles = (max: number) => fc.double({ min: 0, max, noNaN: true });
    const limits = fc.record({
      altitudeDegrees: angles(40),
      horizonMask: fc.array(fc.record({ azimuthDegrees: angles(360), altitudeDegrees: angles(60) }), {
        maxLength: 8,
      }),
      hourAngleHours: fc.option(fc.double({ min: 1, max: 12, noNaN: true })),
      zenithHoleDegrees: fc.option(angles(15)),
      moonSeparationDegrees: angles(90),
      sunSeparationDegrees: angles(90),
    });
    const targets = fc.oneof(
      fc
        .tuple(angles(359.9), fc.double({ min: -40, max: 89, noNaN: true }))
        .map(([ra, dec]) => galaxy(ra, dec)),
      fc.constantFrom("Moon" as const, "Jupiter" as const, "Saturn" as const).map(bodyNamed),
    );
    const nights = fc.integer({ min: 0, max: 1500 });
    fc.assert(
      fc.property(targets, limits, nights, angles(1), (target, chosen, day, part) => {
        const where = withLimits(chosen);
        const someNight = nightOf(night.startUnixMs + day * DAY, zone);
        const unixMs = someNight.startUnixMs + part * (someNight.endUnixMs - someNight.startUnixMs);
        const windows = windowsOf(target, someNight, where);
        const nearEdge = windows.some(
          ({ openUnixMs, closeUnixMs }) =>
            Math.abs(openUnixMs - unixMs) < 5 || Math.abs(closeUnixMs - unixMs) < 5,
        );
        if (nearEdge) return;
        const inside = windows.some((window) => window.openUnixMs < unixMs && unixMs < window.closeUnixMs);
        const why = whyNot(target, unixMs, where);
        expect(why === null).toBe(inside);
        if (why?.opensUnixMs) expect(why.opensUnixMs).toBeGreaterThanOrEqual(unixMs);
      }),
      { numRuns: 120 },
    );
  });

  test("is in order, apart from the next, in whole milliseconds", () => {
    const fence = Array.from({ length: 36 }, (_, index) => ({
      azimuthDegrees: index * 10,
      altitudeDegrees: index % 2 === 0 ? 20 : 50,
    }));
    const windows = windowsOf(galaxy(83, 5), night, {
      ...bare,
      limits: { ...bare.limits, horizonMask: fence },
    });
    expect(windows.length).toBeGreaterThan(3);
    const edges = windows.flatMap(({ openUnixMs, closeUnixMs }) => [openUnixMs, closeUnixMs]);
    expect(edges).toEqual([...edges].sort((a, b) => a - b));
    expect(new Set(edges).size).toBe(edges.length);
    for (const edge of edges) expect(Number.isInteger(edge)).toBe(true);
  });

  test("is split by a mast a quarter of a degree wide", () => {
    const mast = [
      { azimuthDegrees: 0, altitudeDegrees: 0 },
      { azimuthDegrees: 150, altitudeDegrees: 0 },
      { azimuthDegrees: 150.1, altitudeDegrees: 80 },
      { azimuthDegrees: 150.25, altitudeDegrees: 80 },
      { azimuthDegrees: 150.35, altitudeDegrees: 0 },
    ];
    const windows = windowsOf(galaxy(83, 5), night, {
      ...bare,
      limits: { ...bare.limits, horizonMask: mast },
    });
    expect(windows).toHaveLength(2);
    const gap = windows[1]!.openUnixMs - windows[0]!.closeUnixMs;
    expect(gap).toBeGreaterThan(20_000);
    expect(gap).toBeLessThan(5 * MINUTE);
  });

  test("notices a wall that hides a target for less than a minute at its greatest elongation", () => {
    for (let ra = 150; ra < 152; ra += 0.2) {
      const target = galaxy(ra, 60);
      const track = trackOf(target, night, bare.site);
      const times = Array.from(
        { length: 12 * 3600 },
        (_, second) => night.startUnixMs + (4 * 3600 + second) * 1000,
      );
      const azimuths = times.map((unixMs) => horizontalOf(track, unixMs).azimuthDegrees);
      const furthest = Math.max(...azimuths.filter((azimuth) => azimuth < 180));
      const wall = [
        { azimuthDegrees: furthest - 0.00003, altitudeDegrees: 0 },
        { azimuthDegrees: furthest - 0.00003, altitudeDegrees: 85 },
        { azimuthDegrees: furthest + 5, altitudeDegrees: 85 },
        { azimuthDegrees: furthest + 5, altitudeDegrees: 0 },
      ];
      const windows = windowsOf(target, night, { ...bare, limits: { ...bare.limits, horizonMask: wall } });
      expect(windows, String(ra)).toHaveLength(2);
      expect(windows[1]!.openUnixMs - windows[0]!.closeUnixMs).toBeLessThan(MINUTE);
    }
  });

  test("opens at civil dusk for planets and bright stars, at nautical dusk for faint targets", () => {
    const star = (magnitude: number): Target => ({ ...fixedAt(0, 40), type: "star", magnitude });
    const opening = (target: Target): number => {
      const { openUnixMs } = windowsOf(target, night, bare)[0]!;
      return sunAltitudeDegrees(openUnixMs, bare.site);
    };
    expect(opening(star(2.9))).toBeCloseTo(-6, 2);
    expect(opening(star(3))).toBeCloseTo(-12, 2);
    expect(opening({ ...fixedAt(0, 40), type: "galaxy", magnitude: 1 })).toBeCloseTo(-12, 2);
    expect(opening(bodyNamed("Saturn"))).toBeCloseTo(-6, 2);
  });

  test("keeps clear of the Moon, which is not kept from itself", () => {
    const wide = withLimits({ horizonMask: [], moonSeparationDegrees: 60 });
    expect(windowsOf(bodyNamed("Moon"), night, wide)).not.toHaveLength(0);
    const nearMoon = galaxy(75, 25);
    expect(separationDegrees(nearMoon, "Moon", elevenAtNight, wide.site)).toBeLessThan(60);
    expect(windowsOf(nearMoon, night, wide)).toEqual([]);
  });

  test("of a whole polar night spans it from noon to noon", () => {
    const arctic = { ...bare, site: { ...bare.site, latitudeDegrees: 88 } };
    const midwinter = nightNamed("2026-12-21", zone);
    expect(windowsOf(galaxy(100, 60), midwinter, arctic)).toEqual([
      { openUnixMs: midwinter.startUnixMs, closeUnixMs: midwinter.endUnixMs },
    ]);
  });
});

describe("why not now", () => {
  const expectReason = (why: WhyNot | null, expected: Partial<WhyNot>): void => {
    expect(why).toMatchObject(expected);
  };

  test("nothing, when the target may be observed", () => {
    expect(whyNot(galaxy(10.7, 41.3), elevenAtNight, observatory)).toBeNull();
  });

  test("the Sun is up: open after dusk, the Sun's altitude given", () => {
    const noon = night.startUnixMs;
    const why = whyNot(galaxy(10.7, 41.3), noon, observatory);
    expectReason(why, { limit: "sun-up", limitDegrees: -12, never: false });
    expect(why!.valueDegrees).toBeCloseTo(sunAltitudeDegrees(noon, observatory.site), 2);
    expect(why!.opensUnixMs).toBe(windowsOf(galaxy(10.7, 41.3), night, observatory)[0]!.openUnixMs);
  });

  test("the Sun is too high even for a planet: the twilight limit of bright targets is named", () => {
    expectReason(whyNot(bodyNamed("Saturn"), night.startUnixMs, observatory), {
      limit: "sun-up",
      limitDegrees: -6,
    });
  });

  test("never rises here, which no date changes", () => {
    expectReason(whyNot(galaxy(0, -60), elevenAtNight, observatory), {
      limit: "below-limit",
      opensUnixMs: null,
      never: true,
    });
  });

  test("not tonight but in a later season: the first night is found", () => {
    const why = whyNot(galaxy(262, 10), elevenAtNight, observatory);
    expectReason(why, { limit: "below-limit", never: false });
    const days = (why!.opensUnixMs! - elevenAtNight) / DAY;
    expect(days).toBeGreaterThan(30);
    expect(days).toBeLessThan(90);
    const before = nightOf(why!.opensUnixMs! - DAY, zone);
    expect(windowsOf(galaxy(262, 10), before, observatory)).toEqual([]);
  });

  test("behind the trees, over the altitude limit: when it clears them", () => {
    const trees = withLimits({ horizonMask: [{ azimuthDegrees: 0, altitudeDegrees: 45 }] });
    const why = whyNot(galaxy(113, 31.9), elevenAtNight, trees);
    expectReason(why, { limit: "mask", limitDegrees: 45 });
    expect(why!.valueDegrees).toBeGreaterThan(20);
    expect(why!.opensUnixMs).toBeGreaterThan(elevenAtNight);
  });

  test("behind a mask that it never clears", () => {
    const wall = withLimits({ horizonMask: [{ azimuthDegrees: 0, altitudeDegrees: 60 }] });
    expectReason(whyNot(galaxy(83, -5), elevenAtNight, wall), { limit: "mask", never: true });
  });

  test("too near the Sun, by day and by night, is said before anything else", () => {
    const nearSun = galaxy(243, -20);
    expectReason(whyNot(nearSun, night.startUnixMs, observatory), { limit: "near-sun", limitDegrees: 30 });
    const neverUp = galaxy(243, -40);
    expectReason(whyNot(neverUp, night.startUnixMs, observatory), { limit: "near-sun", never: true });
    const daylight = withLimits({
      sunAltitudeDegrees: 0,
      brightSunAltitudeDegrees: 0,
      sunSeparationDegrees: 60,
    });
    const dusk = night.startUnixMs + 5.5 * HOUR;
    expectReason(whyNot(galaxy(290, 10), dusk, daylight), { limit: "near-sun", limitDegrees: 60 });
  });

  test("too near the Sun now, but months later not: with the date", () => {
    const why = whyNot(galaxy(243, 5), night.startUnixMs, observatory);
    expectReason(why, { limit: "near-sun", never: false });
    expect(why!.opensUnixMs).toBeGreaterThan(night.endUnixMs);
  });

  test("an inner planet that never leaves the Sun limit is told so", () => {
    expectReason(whyNot(bodyNamed("Mercury"), night.startUnixMs, observatory), {
      limit: "near-sun",
      opensUnixMs: null,
      never: true,
    });
    const mercury = whyNot(bodyNamed("Mercury"), night.startUnixMs, withLimits({ sunSeparationDegrees: 15 }));
    expect(mercury?.never).toBe(false);
  });

  test("too near the Moon: when the Moon has moved on", () => {
    const why = whyNot(galaxy(78, 26), elevenAtNight, withLimits({ moonSeparationDegrees: 25 }));
    expectReason(why, { limit: "near-moon", limitDegrees: 25, never: false });
    expect(why!.valueDegrees).toBeLessThan(25);
    expect(why!.opensUnixMs).toBeGreaterThan(elevenAtNight);
  });

  test("beyond the hour-angle limit, and in the zenith hole", () => {
    const target = galaxy(83, 40);
    const east = night.startUnixMs + 9 * HOUR;
    expectReason(whyNot(target, east, withLimits({ hourAngleHours: 2, horizonMask: [] })), {
      limit: "hour-angle",
    });
    const transit = windowsOf(target, night, withLimits({ hourAngleHours: 0.01, horizonMask: [] }))[0]!;
    const why = whyNot(target, transit.openUnixMs, withLimits({ zenithHoleDegrees: 5 }));
    expectReason(why, { limit: "zenith-hole", limitDegrees: 5 });
    expect(why!.opensUnixMs! - transit.openUnixMs).toBeLessThan(40 * MINUTE);
  });

  test("in the midnight Sun of the far north: open when the dark returns", () => {
    const arctic = { ...bare, site: { ...bare.site, latitudeDegrees: 75 } };
    const why = whyNot(galaxy(200, 60), nightNamed("2026-06-10", zone).startUnixMs, arctic);
    expectReason(why, { limit: "sun-up", never: false });
    expect(new Date(why!.opensUnixMs!).getUTCMonth()).toBeGreaterThanOrEqual(7);
  });
});
