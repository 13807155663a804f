/** Dusk and dawn, and the nights of high latitudes in which one of them is missing. */
import { expect, test } from "vitest";
import { nightNamed } from "../../src/sky/night.js";
import { sunAltitudeDegrees } from "../../src/sky/place-at.js";
import { TWILIGHT_DEGREES, whileSunBelow } from "../../src/sky/twilight.js";
import { siteAt, ternHollow } from "./things.js";
import { type TwilightName, twilightsOf } from "./twilights.js";

/** An invented hut above the polar circle. */
const fjordHut = { ...siteAt(69.7, 19.1, 90), timeZone: "Europe/Oslo" };
const names: TwilightName[] = ["sunset", "civil", "nautical", "astronomical"];

test("the limits are the almanac's: 50′, 6°, 12° and 18° below the horizon", () => {
  expect(TWILIGHT_DEGREES).toEqual({ sunset: -50 / 60, civil: -6, nautical: -12, astronomical: -18 });
});

test("on an ordinary evening the four follow one another, and dawn mirrors them", () => {
  const twilights = twilightsOf(nightNamed("2026-11-25", "America/Chicago"), ternHollow);
  const dusks = names.map((name) => twilights[name].duskUnixMs!);
  const dawns = names.map((name) => twilights[name].dawnUnixMs!);
  expect(dusks).toEqual([...dusks].sort((a, b) => a - b));
  expect(dawns).toEqual([...dawns].sort((a, b) => b - a));
});

test("the Sun's centre stands at each limit when its twilight begins and ends", () => {
  const twilights = twilightsOf(nightNamed("2026-05-02", "America/Chicago"), ternHollow);
  for (const name of names)
    for (const unixMs of [twilights[name].duskUnixMs!, twilights[name].dawnUnixMs!])
      expect(sunAltitudeDegrees(unixMs, ternHollow)).toBeCloseTo(TWILIGHT_DEGREES[name], 3);
});

test("at midsummer above the polar circle the Sun never sets, and no twilight comes", () => {
  const twilights = twilightsOf(nightNamed("2026-06-21", "Europe/Oslo"), fjordHut);
  for (const name of names)
    expect(twilights[name]).toEqual({
      sunAltitudeDegrees: TWILIGHT_DEGREES[name],
      course: "never-comes",
      duskUnixMs: null,
      dawnUnixMs: null,
    });
});

test("at midwinter above the polar circle sunset never ends, but civil twilight does at noon", () => {
  const twilights = twilightsOf(nightNamed("2026-12-21", "Europe/Oslo"), fjordHut);
  expect(twilights.sunset.course).toBe("never-ends");
  expect(twilights.civil.course).toBe("comes-and-ends");
  expect(twilights.astronomical.course).toBe("comes-and-ends");
});

test("in a white night at 51° the Sun sets, but astronomical twilight lasts till morning", () => {
  const twilights = twilightsOf(nightNamed("2026-06-21", "Europe/Amsterdam"), siteAt(51.3, 5.6));
  expect(twilights.nautical.course).toBe("comes-and-ends");
  expect(twilights.astronomical.course).toBe("never-comes");
});

test("when the Sun shows for twenty minutes after noon only, the long dark stretch that follows is the night", () => {
  const night = nightNamed("2027-01-15", "Europe/Oslo");
  const west = { ...fjordHut, longitudeDegrees: 6 };
  const dark = whileSunBelow(TWILIGHT_DEGREES.sunset, night, west);
  expect(dark).toHaveLength(2);
  expect(dark[0]!.openUnixMs).toBe(night.startUnixMs);
  const { sunset } = twilightsOf(night, west);
  expect(sunset).toMatchObject({ course: "comes-and-ends", dawnUnixMs: null });
  expect(sunset.duskUnixMs).toBe(dark[1]!.openUnixMs);
});

test("a night of a day that changes the clocks keeps its dusk and dawn", () => {
  for (const date of ["2027-03-13", "2027-11-06"]) {
    const night = nightNamed(date, "America/Chicago");
    const { nautical } = twilightsOf(night, ternHollow);
    expect(nautical.duskUnixMs).toBeGreaterThan(night.startUnixMs);
    expect(nautical.dawnUnixMs).toBeLessThan(night.endUnixMs);
  }
});
