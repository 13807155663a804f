/** /compare: figures of each rule as they come out of its own run. */

import { describe, expect, it } from "vitest";
import { MINUTE, SECOND } from "../../src/base/units.js";
import { playNight } from "../../src/forecast/play-night.js";
import { figuresOf, gini } from "../../src/forecast/run-figures.js";
import { RULE_NAMES } from "../../src/queue/request.js";
import { airmassAtTrue } from "../../src/sky/airmass.js";
import { randomNight } from "../forecast/random-night.js";
import { mira, openWorld, quill, read, text, tomas, type World } from "./world.js";

const night = randomNight({ seed: 3, date: "2026-11-25", requests: 60, targets: 12, rule: "one-each" });

describe("figures of a run", () => {
  it("are those of its turns", () => {
    const run = playNight(night);
    const figures = figuresOf(run, night);
    const airmasses = run.turns.map((turn) => airmassAtTrue(turn.altitudeDegrees));
    const requests = new Map(night.waiting.map((each) => [each.number, each]));
    const of = (number: number) => requests.get(number) as (typeof night.waiting)[number];
    const waits = run.turns.map((turn) => turn.takenUnixMs - of(turn.number).askedUnixMs);
    expect(figures.completed + figures.left).toBe(60);
    expect(figures.worstAirmass).toBe(Math.max(...airmasses));
    expect(figures.meanAirmass).toBeCloseTo(airmasses.reduce((a, b) => a + b) / airmasses.length, 9);
    expect(figures.worstWaitMs).toBe(Math.max(...waits));
    expect(waits.filter((wait) => wait <= figures.medianWaitMs).length).toBe(Math.ceil(waits.length / 2));
    expect(figures.movingMs).toBe(run.turns.reduce((all, { times }) => all + times.readyMs, 0));
    const openSeconds = run.turns.map(({ number }) => of(number).frames * of(number).exposureSeconds);
    expect(figures.exposingMs).toBe(openSeconds.reduce((all, each) => all + each) * SECOND);
    expect(figures.order).toEqual(run.turns.map(({ number }) => number));
  });

  it("count a wait from the time that was asked for, where that is later than the asking", () => {
    const notBeforeUnixMs = night.nowUnixMs + 3 * 60 * MINUTE;
    const waiting = night.waiting.map((each) => ({ ...each, notBeforeUnixMs }));
    const later = { ...night, waiting };
    const run = playNight(later);
    expect(figuresOf(run, later).worstWaitMs).toBe(
      Math.max(...run.turns.map(({ takenUnixMs }) => takenUnixMs - notBeforeUnixMs)),
    );
  });

  it("share out among all who have had a turn tonight, whether or not anything of theirs still waits", () => {
    const served = { ...night, takenTonight: new Map([["terminal:served", 1]]) };
    const run = playNight(served);
    const turns = new Map<string, number>([["terminal:served", 1]]);
    for (const { owner } of night.waiting) turns.set(owner, 0);
    for (const { number } of run.turns) {
      const { owner } = night.waiting.find(
        (each) => each.number === number,
      ) as (typeof night.waiting)[number];
      turns.set(owner, (turns.get(owner) ?? 0) + 1);
    }
    expect(figuresOf(run, served).turnsGini).toBeCloseTo(gini([...turns.values()]), 9);
  });

  it("share turns more evenly under one-each than under first-come", () => {
    const owner = (number: number): string => (number <= 30 ? "terminal:eager" : `terminal:${number % 5}`);
    const waiting = night.waiting.map((each) => ({ ...each, owner: owner(each.number) }));
    const scarce = { ...night, waiting, untilUnixMs: night.nowUnixMs + 3 * 60 * MINUTE };
    const under = (rule: (typeof RULE_NAMES)[number]): number =>
      figuresOf(playNight({ ...scarce, rule }), scarce).turnsGini;
    expect(under("one-each")).toBeLessThan(under("first-come"));
  });

  it("have a Gini coefficient of 0 for equal shares and towards 1 for one who has all", () => {
    expect(gini([3, 3, 3])).toBe(0);
    expect(gini([0, 0, 0, 12])).toBe(0.75);
    expect(gini([0, 0])).toBe(0);
    expect(gini([1, 2])).toBeCloseTo(1 / 6, 9);
  });
});

async function threeAsked(): Promise<World> {
  const world = openWorld();
  await world.type("/request M31 V 60 3");
  await world.type("/request M45 V 60 2", tomas);
  await world.type("/request M2 V 60 2", tomas);
  return world;
}

describe("/compare", () => {
  it("gives one row for each rule, the one in use marked, and the best in the title", async () => {
    const world = await threeAsked();
    const reply = await world.type("/compare", quill);
    expect(reply.tone).toBe("answer");
    expect(reply.title).toMatch(/3 requests at mean airmass \d\.\d\d/);
    expect(reply.table?.rows.map((row) => text(row[0] ?? []))).toEqual([...RULE_NAMES]);
    expect(reply.table?.ownRows).toEqual([0]);
    for (const [index, rule] of RULE_NAMES.entries()) {
      const run = world.services.forecast.underRule(rule);
      const row = reply.table?.rows[index]?.map(text) ?? [];
      expect(Number(row[1])).toBe(run.turns.length);
      const moving = run.turns.reduce((all, { times }) => all + times.readyMs, 0);
      expect(row[5]).toBe(`${Math.round(moving / MINUTE)} min`);
    }
    expect(reply.picture?.altText).toBe("a chart");
  });

  it("leaves the queue and the rule as they are", async () => {
    const world = await threeAsked();
    const before = world.services.forecast.order();
    await world.type("/compare", quill);
    expect(world.services.forecast.order()).toEqual(before);
    expect(world.services.desk.state.rule).toBeNull();
  });

  it("says in one row that the rule makes no difference", async () => {
    const world = openWorld();
    await world.type("/request M31 V 60 3");
    const one = await world.type("/compare", quill);
    expect(one.title).toMatch(/^The rule makes no difference now: 1 request at airmass \d\.\d\d$/);
    expect(one.table?.rows).toHaveLength(1);
    expect(read(one)).toContain("The one request that waits can run before dawn under any rule.");
    expect(read(one)).not.toContain("marked");
    expect(one.picture).toBeUndefined();
    await world.type("/request M31 V 60 3 anyway", tomas);
    const two = await world.type("/compare", quill);
    expect(two.title).toMatch(/^The rule makes no difference now: 2 requests/);
  });

  it("says so when nothing waits", async () => {
    expect(read(await openWorld().type("/compare", quill))).toContain("Nothing is waiting");
  });

  it("reckons as if a hold ended now", async () => {
    const world = await threeAsked();
    await world.type("/hold cloud", quill);
    const shown = read(await world.type("/compare", quill));
    expect(shown).toContain("as if the telescope could go on now");
    expect(shown).toMatch(/highest-first \| 3 \|/);
  });

  it("is the instructor's", async () => {
    const reply = await openWorld().type("/compare", mira);
    expect(reply.tone).toBe("refused");
    expect(read(reply)).toContain("/why");
  });
});
