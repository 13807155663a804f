/** Why something cannot be observed: the limit that spoils the night, not what stands in the way this minute. */
import { describe, expect, it } from "vitest";
import type { Config } from "../../../src/config/config.js";
import { openWorld, read, type World } from "../world.js";

function at(latitudeDegrees: number, longitudeDegrees = -100.5, timeZone = "America/Chicago") {
  return (config: Config): Config => {
    const site = { ...config.observatory.site, latitudeDegrees, longitudeDegrees, timeZone };
    return { ...config, observatory: { ...config.observatory, site } };
  };
}

const first = async (world: World, line: string) => read(await world.type(line));

describe("The limit that spoils the whole night is the reason,", () => {
  it("the Moon's own height, where it culminates too low", async () => {
    const world = openWorld("2026-06-30T00:00", at(60));
    const asked = await first(world, "/request Moon clear 0.01");
    expect(asked).toMatch(/: it rises no higher than \d\.?\d?°, and the limit is 20°/);
    expect(asked).not.toMatch(/any more|horizon now/);
    const night = await first(world, "/target Moon");
    expect(night).toMatch(/Not on this night: it rises no higher than (\d+)°, and[\s\S]*Highest: .* at \1°/);
  });

  it("at the date line in the south", async () => {
    const world = openWorld("2026-12-23T20:00", at(-45, 179.9, "Pacific/Auckland"));
    expect(await first(world, "/request Moon clear 0.01")).toMatch(
      /it rises no higher than 1\d(\.\d)?°, and the limit is 20°/,
    );
  });

  it("and at the pole, by the season", async () => {
    const pole = at(-90, 0, "Antarctica/McMurdo");
    const summer = await first(openWorld("2026-12-24T20:00", pole), "/request Moon clear 0.01");
    expect(summer).toContain("it does not get dark enough for it");
    const winter = await first(openWorld("2026-06-30T20:00", pole), "/target M31");
    expect(winter).toContain("M31 never rises here; the limit is 20°.");
  });

  it("the Moon's nearness, though the target is below the horizon at the time", async () => {
    const world = openWorld("2026-11-25T16:00");
    expect(await first(world, "/target M1")).toMatch(
      /Not on this night: it is too near the Moon all night \(\d\.?\d?°, at least 10° needed\)\./,
    );
    const asked = await first(world, "/request M1 clear 20");
    expect(asked).toMatch(/It cannot be observed tonight, but .* it is too near the Moon all night/);
    expect(asked).not.toContain("any more");
    expect(await first(world, "/when")).toMatch(/Not tonight: it is too near the Moon all night/);
    expect(await first(world, "/why 1")).toMatch(/Not tonight: it is too near the Moon all night/);
  });

  it("a season in which it is up only by day", async () => {
    const world = openWorld("2026-05-20T22:00");
    expect(await first(world, "/target M45")).toMatch(
      /Not on this night: it is (not high enough while it is dark|\d+° from the Sun)/,
    );
  });
});

describe("A window that is over", () => {
  it("is said to be over, and only then 'any more'", async () => {
    const world = openWorld("2026-11-25T23:00");
    expect(await first(world, "/target M57")).toMatch(
      /Not any more on this night: its window is over\. It is possible from/,
    );
    expect(await first(world, "/request M57 clear 20")).toMatch(
      /cannot be observed any more tonight, but tomorrow night/,
    );
  });

  it("by the time that was asked for is told for that time, with the next chance", async () => {
    const asked = await first(openWorld("2026-11-25T19:00"), "/request M57 clear 20 notbefore=01:30");
    expect(asked).toMatch(/At 01:30 it is \d+° below the horizon; its next chance is Thu 26 Nov 18:1\d\./);
    expect(asked).not.toContain("any more");
  });
});

it("A target that opens later tonight for another reason than now's is told with that one", async () => {
  const asked = await first(openWorld("2026-11-25T15:00"), "/request M42 clear 20");
  expect(asked).toMatch(/It can be observed from 22:1\d, when it stands high enough\./);
});

describe("What can never be observed", () => {
  it("is told with the reason and without an exposure", async () => {
    const mercury = await first(openWorld(), "/target mercury");
    expect(mercury).toContain("Mercury is never far enough from the Sun to be observed from here.");
    expect(mercury).not.toMatch(/Exposure|anywhere/);
    const orion = await first(openWorld("2026-11-25T20:00", at(80)), "/target M42");
    expect(orion).toMatch(/M42 never rises above 5° here; the limit is 20°\./);
    expect(orion).not.toContain("Exposure");
  });

  it("and a place at the Sun is told by its distance", async () => {
    const said = await first(openWorld("2026-11-25T20:00"), "/target 16 08 00 -20 40 00");
    expect(said).toMatch(/Not on this night: it is \d+° from the Sun, and the limit is 30°/);
    expect(said).not.toContain("Exposure");
  });
});

it("One kind of altitude is told: now, best and highest all with refraction", async () => {
  const world = openWorld("2026-11-25T20:00", at(0));
  const [, now, highest] = /stands at ([\d.]+)° now[\s\S]*Highest: .* at ([\d.]+)°/.exec(
    await first(world, "/target polaris"),
  ) as RegExpExecArray;
  expect(Number(highest)).toBeGreaterThanOrEqual(Number(now));
});
