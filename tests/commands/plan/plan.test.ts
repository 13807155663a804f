/** /plan: every target it names suits the whole hour, and as many requests fit as it says. */
import { describe, expect, it } from "vitest";
import { HOUR, MINUTE } from "../../../src/base/units.js";
import { suitedTargets } from "../../../src/commands/plan/plan-targets.js";
import { playNight } from "../../../src/forecast/play-night.js";
import { windowsOf } from "../../../src/observatory/window.js";
import { moonPhase } from "../../../src/sky/moon.js";
import { nightNamed } from "../../../src/sky/night.js";
import { horizontal, separationDegrees } from "../../../src/sky/place-at.js";
import { emptyNight, request } from "../../forecast/random-night.js";
import { local, mira, okoro, openWorld, quill, read, text, tomas, ZONE } from "../world.js";

const { services } = openWorld();
const { observatory } = services.config;

/** Hours of several seasons, with and without the Moon. */
const HOURS = [
  ["2026-12-04", "2026-12-04T21:00"],
  ["2026-11-25", "2026-11-25T20:00"],
  ["2027-03-12", "2027-03-12T23:30"],
  ["2027-07-20", "2027-07-21T01:00"],
  ["2027-10-15", "2027-10-16T04:00"],
] as const;

describe("targets that suit an hour", () => {
  it.each(HOURS)(
    "of the night of %s from %s stay high, dark, bright enough and away from the Moon",
    (date, from) => {
      const night = nightNamed(date, ZONE);
      const start = local(from);
      const suited = suitedTargets(services.catalogue, night, start, start + HOUR, services.config);
      expect(suited.length).toBeGreaterThan(5);
      for (const { target, lowestDegrees, exposure } of suited) {
        const [open] = windowsOf(target, night, observatory).filter(
          (each) => each.openUnixMs <= start && start + HOUR <= each.closeUnixMs,
        );
        expect(open, target.id).toBeDefined();
        for (let unixMs = start; unixMs <= start + HOUR; unixMs += 10 * MINUTE) {
          const { altitudeDegrees } = horizontal(target, unixMs, observatory.site);
          expect(altitudeDegrees, target.id).toBeGreaterThan(34.99);
          expect(altitudeDegrees, target.id).toBeGreaterThan(lowestDegrees - 0.3);
          const bright = moonPhase(unixMs).illuminatedFraction > 0.25;
          if (
            target.type !== "moon" &&
            bright &&
            horizontal("Moon", unixMs, observatory.site).altitudeDegrees > 0
          )
            expect(separationDegrees(target, "Moon", unixMs, observatory.site), target.id).toBeGreaterThan(
              29,
            );
        }
        expect(exposure.saturates, target.id).toBe(false);
        expect(exposure.signalToNoise ?? 10, target.id).toBeGreaterThanOrEqual(10);
      }
    },
  );
});

describe("/plan", () => {
  it("names targets, how many requests fit with a range, and a split that adds up to the class", async () => {
    const reply = await openWorld().type("/plan 2026-12-04 21:00 60 24", quill);
    expect(reply.tone).toBe("answer");
    expect(reply.title).toMatch(/^6 targets for 24 students; about \d+ requests will fit$/);
    expect(read(reply)).toMatch(/Fits: \d+ to \d+ requests in 1 h, in 8 nights of 10/);
    const students = reply.table?.rows.map((row) => Number(text(row.at(-1) ?? []))) ?? [];
    expect(students.reduce((sum, each) => sum + each, 0)).toBe(24);
    expect(read(reply)).toMatch(/By group: Alder .*; Birch /);
  });

  it("spreads its choice over the sky: no two within 15°", async () => {
    const reply = await openWorld().type("/plan 2026-12-04 21:00 60 24", quill);
    const chosen = reply.table?.rows.map((row) => services.catalogue.lookUp(text(row[0] ?? [])).found) ?? [];
    for (const [index, one] of chosen.entries())
      for (const other of chosen.slice(index + 1))
        expect(
          separationDegrees(one as never, other as never, local("2026-12-04T21:30"), observatory.site),
          `${one?.id} ${other?.id}`,
        ).toBeGreaterThan(15);
  });

  it("says as many as a night without surprises would hold, nearly", async () => {
    const { forecast, catalogue } = openWorld().services;
    const from = local("2026-12-04T21:00");
    const wishes = ["M31", "M45", "M33"].map((name) => ({
      target: catalogue.lookUp(name).found as NonNullable<ReturnType<typeof catalogue.lookUp>["found"]>,
      filter: "clear",
      exposureSeconds: 60,
      frames: 1,
    }));
    const { low, median, high } = forecast.fitting(wishes, from, from + HOUR);
    const night = {
      ...emptyNight("2026-12-04"),
      rule: "first-come" as const,
      nowUnixMs: from,
      untilUnixMs: from + HOUR,
    };
    const waiting = Array.from({ length: 60 }, (_, index) => {
      const wish = wishes[index % 3] as (typeof wishes)[number];
      return request(index + 1, wish.target, { ...wish, askedUnixMs: from - HOUR });
    });
    const exact = playNight({ ...night, waiting, pointing: { ...night.pointing, shutterOpen: true } }).turns
      .length;
    expect(median).toBeGreaterThan(0.75 * exact);
    expect(median).toBeLessThanOrEqual(1.1 * exact);
    expect(low).toBeLessThan(median);
    expect(high).toBeGreaterThanOrEqual(median);
  });

  it("lets students share where fewer requests fit than students come", async () => {
    const reply = await openWorld().type("/plan 2026-12-04 21:00 15 60", quill);
    expect(read(reply)).toMatch(
      /in (pairs|threes|fours|groups of \d+): not everyone fits with a request of their own\./,
    );
  });

  it("promises no more than was tried where nearly everything fits", async () => {
    const reply = await openWorld().type("/plan 2026-12-04 21:00 600 24", quill);
    expect(reply.title).toMatch(/; at least 600 requests will fit$/);
    expect(read(reply)).toMatch(/Fits: at least 600 requests in 10 h, in 9 nights of 10,/);
  });

  it("says of tonight what already waits and that there is a hold, which it does not count", async () => {
    const world = openWorld();
    const said = async (date: string) => read(await world.type(`/plan ${date} 20:30 60 24`, quill));
    expect(await said("tonight")).not.toMatch(/not counted|on hold/);
    await world.type("/request M31 V 60 3");
    expect(await said("tonight")).toMatch(
      /1 request already waits for tonight, about \d min of work; it is not counted\./,
    );
    await world.type("/request M45 V 60 2", tomas);
    await world.type("/hold fog", okoro);
    expect(await said("tonight")).toMatch(
      /2 requests already wait for tonight, about \d+ min of work; they are/,
    );
    expect(await said("tonight")).toContain(
      "The telescope is on hold now, until staff resume; the plan is made as if that were over.",
    );
    expect(await said("tomorrow")).not.toMatch(/not counted|on hold/);
    await world.type("/resume", okoro);
    await world.type("/hold dew until 20:20", okoro);
    expect(await said("tonight")).not.toContain("on hold");
  });

  it("plans an hour that has begun from now on, and says so", async () => {
    const world = openWorld("2026-11-25T20:00");
    const reply = await world.type("/plan 2026-11-25 19:30 60 24", quill);
    expect(read(reply)).toContain("20:00 (now: it has begun) to");
    expect(read(reply)).toContain("requests in 30 min,");
    expect(read(await world.type("/plan 2026-11-25 19:05", quill))).toContain("nearly over");
  });

  it("refuses a clock time that the change to summer time leaves out", async () => {
    expect(read(await openWorld().type("/plan 2027-03-13 02:30", quill))).toContain(
      "The clocks go forward then, and 02:30 on 14 Mar does not exist: type 03:30 or another time.",
    );
  });

  it("by day says when that night is dark; in an hour after midnight it is still that night", async () => {
    const world = openWorld();
    expect(read(await world.type("/plan 2026-12-04 14:00", quill))).toMatch(
      /dark enough.* from 18:\d\d to 06:\d\d/,
    );
    expect(read(await world.type("/plan 2026-12-04 1am", quill))).toContain("Sat 5 Dec 2026, 01:00 to 02:00");
  });

  it("takes the class's own number of students, and refuses what is past or no time", async () => {
    const world = openWorld();
    expect((await world.type("/plan tomorrow 21:00", quill)).title).toContain("for 24 students");
    expect(read(await world.type("/plan 2026-11-24 21:00", quill))).toContain(
      "That hour is past, over since Tue 24 Nov 22:00: give a night or a time to come.",
    );
    expect(read(await world.type("/plan tomorrow 25:00", quill))).toContain("is no clock time");
    expect((await world.type("/plan tomorrow 21:00", mira)).tone).toBe("refused");
  });
});
