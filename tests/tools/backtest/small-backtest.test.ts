/** A small backtest from end to end: few nights of a small class, so the limits are generous. */
import { describe, expect, it } from "vitest";
import { loadConfig } from "../../../src/config/load.js";
import work from "../../../src/tools/backtest/backtest-worker.js";
import { tableOf, tableOfAll } from "../../../src/tools/backtest/report.js";
import { gather, tasksOf } from "../../../src/tools/backtest/run.js";
import { truthWith } from "../../../src/tools/backtest/truth/load.js";

const shipped = loadConfig(new URL("../../../config/tern-hollow.yaml", import.meta.url).pathname);
const config = { ...shipped, forecast: { ...shipped.forecast, runs: 60 } };
const place = { students: 10, seasons: ["2026-02-02", "2026-09-14"], measures: "components" };
const truth = truthWith(
  {
    sites: [
      { ...place, name: "north", latitudeDegrees: 50, longitudeDegrees: 10, timeZone: "Europe/Berlin" },
      { ...place, name: "south", latitudeDegrees: -30, longitudeDegrees: 149, timeZone: "Australia/Sydney" },
    ],
    fullNights: { nightsPerSite: 3, demandFactor: 8 },
  },
  "a small class",
);
const wish = { truth, config, nights: 30, firstNights: 4, oracle: 60, seed: 3 };
const result = gather(wish, await Promise.all(tasksOf(wish).map((task) => work(task))));

describe("thirty nights of two small classes", () => {
  it("hold the start in the 80 % range about as often as they say", () => {
    expect(result.counts.scored).toBeGreaterThan(300);
    expect(result.coverage80).toBeGreaterThan(0.68);
    expect(result.coverage80).toBeLessThan(0.92);
  });

  it("beat every plain predictor, without a lean to either side", () => {
    for (const { maeMinutes } of Object.values(result.baselines))
      expect(result.maeMinutes).toBeLessThan(0.75 * maeMinutes);
    expect(Math.abs(result.biasMinutes)).toBeLessThan(0.25 * result.meanWaitMinutes);
  });

  it("let `planned` complete more than `highest-first` on full nights, staff still first", () => {
    const { planned, highestFirst } = result;
    expect(planned.fullNights).toBe(6);
    expect(planned.completed).toBeGreaterThan(highestFirst.completed);
    expect(planned.meanAirmass).toBeLessThan(highestFirst.meanAirmass + 0.15);
    expect(planned.staffCompleted).toBeGreaterThanOrEqual(highestFirst.staffCompleted - 3);
  });

  it("are compared with what an oracle would have said, and on fewer answers with the truth played on", () => {
    const { oracle, playedOn } = result.sharpness;
    expect(oracle.answers).toBeGreaterThan(40);
    expect(playedOn.answers).toBeGreaterThan(5);
    expect(playedOn.answers).toBeLessThan(oracle.answers / 3);
    expect(oracle.ratio).toBeGreaterThan(0.7);
    expect(oracle.ratio).toBeLessThan(3);
    expect(oracle.otherCoverage).toBeGreaterThan(0.5);
    expect(playedOn.otherCoverage).toBeGreaterThan(0.4);
  });

  it("keep the first nights of strangers apart", () => {
    const { sites, counts } = result.firstNights;
    expect(sites).toBe(4);
    expect(counts.scored).toBeGreaterThan(30);
    expect(tableOf(result)).toContain("first night of 4 new sites");
  });

  it("are the same again for the same seed, and others for another", async () => {
    const [task] = tasksOf({ ...wish, nights: 2 });
    const [other] = tasksOf({ ...wish, nights: 2, seed: 4 });
    if (!task || !other) throw new Error("there is a first task");
    expect(await work(task)).toEqual(await work(task));
    expect(await work(other)).not.toEqual(await work(task));
  });

  it("are shown with every figure beside its limit", () => {
    const table = tableOf(result);
    expect(table).toContain("80 % range holds the start");
    expect(table).toContain("queue length × mean service");
    expect(table).not.toContain("NaN");
  });

  it("stand in one line each where all truths are shown, held against the goals of each", () => {
    const table = tableOfAll([
      { name: "default", result },
      { name: "calm", result: { ...result, coverage80: 0.86 } },
      { name: "default", result: { ...result, coverage80: 0.86 } },
    ]).split("\n");
    expect(table).toHaveLength(5);
    expect(table[2]).toContain("86.0 % ");
    expect(table[3]).toContain("86.0 %*");
  });

  it("say so where there is nothing to average", () => {
    const table = tableOf(gather({ ...wish, nights: 0, firstNights: 0 }, []));
    expect(table).toContain("none");
    expect(table).not.toMatch(/NaN|MISSED/);
  });
});
