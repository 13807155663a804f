/** The practice telescope that works by day: a class sees what the Sun does to a frame. */
import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { HOUR } from "../../../src/base/units.js";
import type { Config } from "../../../src/config/config.js";
import { withDaylight } from "../../../src/config/daylight.js";
import { loadConfig, parseConfig } from "../../../src/config/load.js";
import { nightNamed } from "../../../src/sky/night.js";
import { practiceStart, skipDaylight } from "../../../src/telescope/practice/practice-night.js";
import { openWorld, read } from "../../commands/world.js";

const TEXT = readFileSync("config/tern-hollow.yaml", "utf8");
const byDay = (config: Config): Config => {
  const practice = { ...config.telescope.practice, daylight: true };
  return withDaylight({ ...config, telescope: { ...config.telescope, practice } });
};

describe("with telescope.practice.daylight", () => {
  test("the clock begins at noon and skips nothing", () => {
    const text = TEXT.replace("camera: fitted ", "daylight: true\n    camera: fitted ");
    const { observatory } = parseConfig(text, "day.yaml");
    const noon = nightNamed("2026-11-25", observatory.site.timeZone).startUnixMs;
    expect(practiceStart(noon + 3 * HOUR, 0, observatory)).toBe(noon);
    expect(skipDaylight(noon + 2 * HOUR, observatory)).toBeNull();
  });

  test("requests are taken by day, and /tonight says why", async () => {
    const world = openWorld("2026-11-25T15:00", byDay);
    expect(read(await world.type("/tonight"))).toContain(
      "By day too: this telescope takes requests whatever the Sun does",
    );
    expect(read(await world.type("/request Vega V 1 1 anyway=yes"))).toMatch(/#1 Vega: next in line/);
    expect(world.services.forecast.nextStep()).toMatchObject({ do: "take" });
  });

  test("the Sun, and what stands near it, are refused all the same", async () => {
    const world = openWorld("2026-11-25T15:00", byDay);
    expect(read(await world.type("/request Sun"))).toMatch(/^\[refused\]/);
    // Antares stands within 10° of it.
    expect(read(await world.type("/request Antares"))).toMatch(/^\[refused\].*Sun/s);
  });
});

test("without it the limits are the observatory's own", () => {
  const config = loadConfig("config/tern-hollow.yaml");
  expect(withDaylight(config)).toBe(config);
  expect(config.observatory.limits.sunAltitudeDegrees).toBe(-12);
});
