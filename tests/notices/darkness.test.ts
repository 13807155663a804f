/** What is said of a spoilt frame, and when to ask again after daylight. */
import { expect, test } from "vitest";
import { loadConfig } from "../../src/config/load.js";
import { darkAgain } from "../../src/notices/darkness.js";
import { verdictWords } from "../../src/notices/words/verdicts.js";
import { loadCatalogue } from "../../src/sky/load-catalogue.js";
import { nightNamed } from "../../src/sky/night.js";
import { sunAltitudeDegrees } from "../../src/sky/place-at.js";
import type { Target } from "../../src/sky/target.js";

const { observatory } = loadConfig("config/tern-hollow.yaml");
const galaxy = loadCatalogue().byId("M31") as Target;
const noon = nightNamed("2026-11-24", observatory.site.timeZone).startUnixMs;

test("is when the Sun reaches the observatory's own limit", () => {
  const dark = darkAgain(noon, galaxy, observatory) as number;
  expect(sunAltitudeDegrees(dark, observatory.site)).toBeCloseTo(-12, 1);
});

test("is never before civil twilight ends, even where the observatory would allow it", () => {
  const limits = { ...observatory.limits, sunAltitudeDegrees: 0 };
  const dark = darkAgain(noon, galaxy, { ...observatory, limits }) as number;
  expect(sunAltitudeDegrees(dark, observatory.site)).toBeCloseTo(-6, 1);
});

test("a frame of unknown fault that should have shown no star says so plainly", () => {
  const evidence = { sunAltitudeDegrees: -30, medianAdu: 1000, starsExpected: 0, starsSeen: 0 };
  expect(verdictWords({ is: "black", because: "unknown", ...evidence })).toBe(
    "black: the cause is not known (no stars seen, none expected, middle pixel value 1000 ADU)",
  );
});
