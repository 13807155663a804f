/** Nights at high latitudes: nothing is offered that would be refused, and the polar night has no end at noon. */
import { DateTime } from "luxon";
import { describe, expect, test } from "vitest";
import { type Phrase, renderPhrase } from "../../../src/base/phrase.js";
import { HOUR } from "../../../src/base/units.js";
import { brightNight, darkPhrase } from "../../../src/commands/words/dark-words.js";
import { loadConfig } from "../../../src/config/load.js";
import type { Observatory } from "../../../src/observatory/observatory.js";
import { nightNamed, nightOf } from "../../../src/sky/night.js";
import { sunAltitudeDegrees } from "../../../src/sky/place-at.js";
import { openWorld, read } from "../world.js";

const { observatory: example } = loadConfig("config/tern-hollow.yaml");
const ZONE = "Europe/Oslo";

function at(latitudeDegrees: number): Observatory {
  const site = { ...example.site, latitudeDegrees, longitudeDegrees: 15, timeZone: ZONE };
  return { ...example, site };
}

function said(phrase: Phrase): string {
  return renderPhrase(phrase, {
    text: (text) => text,
    strong: (text) => text,
    person: (id) => id,
    time: ({ timeUnixMs, style }) =>
      DateTime.fromMillis(timeUnixMs, { zone: ZONE, locale: "en-GB" }).toFormat(
        style === "clock" ? "HH:mm" : "ccc d LLL",
      ),
  });
}

/** The sentence at so many hours after noon of a date. */
function sentence(latitudeDegrees: number, date: string, hours: number): string {
  const night = nightNamed(date, ZONE);
  return said(darkPhrase(night, night.startUnixMs + hours * HOUR, at(latitudeDegrees)));
}

describe("under the midnight Sun", () => {
  test.each([
    [69.6, /^The Sun does not set tonight; nothing can be observed before \w{3} \d+ Aug\.$/],
    [90, /^The Sun does not set tonight; nothing can be observed before \w{3} \d+ Oct\.$/],
    [
      62,
      /^The Sun stays less than 6° below the horizon tonight; nothing can be observed before Sun 12 Jul\.$/,
    ],
  ])("at %d° N in June the day is named on which it ends", (latitude, words) => {
    expect(sentence(latitude, "2026-06-21", 10)).toMatch(words);
  });

  test("that day is the first on which the Sun sinks far enough", () => {
    const observatory = at(69.6);
    const next = brightNight(nightNamed("2026-06-21", ZONE), observatory)?.nextUnixMs ?? 0;
    expect(sunAltitudeDegrees(next, observatory.site)).toBeCloseTo(-6, 1);
    const dayBefore = nightOf(next - 24 * HOUR, ZONE);
    for (let hour = 0; hour < 24; hour += 0.25) {
      const unixMs = dayBefore.startUnixMs + hour * HOUR;
      expect(sunAltitudeDegrees(unixMs, observatory.site)).toBeGreaterThan(-6);
    }
  });

  test("nothing is put on the short list", async () => {
    const world = openWorld("2026-06-21T23:30", (config) => {
      const site = { ...config.observatory.site, latitudeDegrees: 69.6 };
      return { ...config, observatory: { ...config.observatory, site } };
    });
    const reply = read(await world.type("/tonight"));
    expect(reply).toContain("nothing can be observed before");
    expect(reply).not.toMatch(/Worth asking|possible|\/request|ask now/);
  });
});

test("in the polar night it is dark all night", () => {
  expect(sentence(80, "2026-12-21", 3)).toBe("Dark all night, the Sun being 12° or more below the horizon.");
});

test("where only twilight comes, its hours for bright targets are given", () => {
  expect(sentence(57.5, "2026-06-21", 8)).toMatch(
    /^It does not get dark tonight: the Sun stays less than 12° below the horizon\. Bright targets are possible from \d\d:\d\d until \d\d:\d\d\.$/,
  );
  expect(sentence(57.5, "2026-06-21", 13)).toMatch(/Bright targets are possible now, until \d\d:\d\d\.$/);
  expect(sentence(57.5, "2026-06-21", 20)).toMatch(/Its hours for bright targets are over too\.$/);
});
