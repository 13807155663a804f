/** Headers as camera programs write them. */
import { expect, test } from "vitest";
import { factsOf } from "../../../src/telescope/folder/frame-facts.js";
import type { Card } from "../../../src/telescope/frames/fits-cards.js";

const size = { width: 100, height: 80 };
const WRITTEN = Date.parse("2026-06-15T05:02:00Z");
const facts = (cards: Record<string, Card["value"]>) =>
  factsOf(
    Object.entries(cards).map(([keyword, value]) => ({ keyword, value })),
    size,
    WRITTEN,
  );

test.each([
  ["degrees", { RA: 83.82, DEC: -5.39 }],
  ["the mount's own text", { OBJCTRA: "05 35 16.8", OBJCTDEC: "-05 23 24" }],
  ["text in RA and DEC", { RA: "05:35:16.8", DEC: "-05:23:24" }],
  ["the projection's reference", { CRVAL1: 83.82, CRVAL2: -5.39 }],
])("a place in %s", (_how, cards) => {
  expect(facts(cards).place).toEqual({
    raDegrees: expect.closeTo(83.82, 3),
    decDegrees: expect.closeTo(-5.39, 3),
  });
});

test("the frame's middle, where the projection is known", () => {
  const tan = { CTYPE1: "RA---TAN", CTYPE2: "DEC--TAN", CRPIX1: 50.5, CRPIX2: 40.5 };
  const { place } = facts({ ...tan, CRVAL1: 10, CRVAL2: 20, CDELT1: -0.001, CDELT2: 0.001, RA: 99, DEC: 9 });
  expect(place).toEqual({ raDegrees: expect.closeTo(10, 6), decDegrees: expect.closeTo(20, 6) });
});

test.each([
  ["2026-06-15T05:00:12.5", {}],
  ["2026-06-15T05:00:12.5Z", {}],
  ["2026-06-15", { "TIME-OBS": "05:00:12.5" }],
])("a start at %s", (date, more) => {
  expect(facts({ "DATE-OBS": date, ...more }).startUnixMs).toBe(Date.parse("2026-06-15T05:00:12.5Z"));
});

test("a start that is not said, from when the file was written and how long it was exposed", () => {
  expect(facts({ EXPOSURE: 60 }).startUnixMs).toBe(WRITTEN - 60_000);
  expect(facts({ "DATE-OBS": "yesterday" }).startUnixMs).toBe(WRITTEN);
});

test("nonsense is nothing: places off the sky, times below nothing, control characters", () => {
  const odd = facts({ RA: 1e6, DEC: 300, EXPTIME: -5, OBJECT: "\u0007 \u001b[31m", FILTER: 7 });
  expect(odd).toMatchObject({ place: null, exposureSeconds: null, filter: null, object: "[31m" });
});
