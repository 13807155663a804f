/** The invented class asks as people do. */
import { expect, test } from "vitest";
import { HOUR } from "../../../src/base/units.js";
import type { Call } from "../../../src/commands/command.js";
import type { Reply } from "../../../src/commands/reply.js";
import { loadConfig } from "../../../src/config/load.js";
import { loadCatalogue } from "../../../src/sky/load-catalogue.js";
import { nightNamed } from "../../../src/sky/night.js";
import { startClassmates } from "../../../src/telescope/practice/classmates.js";
import { practiceStart } from "../../../src/telescope/practice/practice-night.js";
import { ManualClock } from "../../../src/tools/manual-clock.js";

const config = loadConfig("config/tern-hollow.yaml");
const noon = nightNamed("2026-11-24", config.observatory.site.timeZone).startUnixMs;
const dusk = practiceStart(noon, 0, config.observatory);

const reply = (tone: Reply["tone"], command: string, request: number): Reply => ({
  tone,
  title: "",
  lines: [],
  actions: [{ command, options: { request }, label: "Join", onlyFor: null }],
});

/** All that the class types in an evening, when each is answered so. */
async function evening(answer: (call: Call) => Reply): Promise<Call[]> {
  const clock = new ManualClock(dusk);
  const calls: Call[] = [];
  const run = async (call: Call): Promise<Reply> => {
    calls.push(call);
    return answer(call);
  };
  const home = { surface: "terminal", channel: "main" };
  const parts = { config, catalogue: loadCatalogue(), clock, run, home, except: "terminal:mira" };
  startClassmates(parts, dusk);
  await clock.moveTo(dusk + 10 * HOUR);
  return calls;
}

test("six ask at dusk, and all but the one who types ask twice", async () => {
  const calls = await evening(() => reply("done", "when", 1));
  expect(calls).toHaveLength(46);
  expect(new Set(calls.map((call) => call.asker.id)).size).toBe(23);
  expect(calls.every((call) => call.command === "request" && call.asker.id !== "terminal:mira")).toBe(true);
});

test("one who is told that a classmate has asked for the same joins, once", async () => {
  const calls = await evening(({ command }) => reply("refused", command === "request" ? "join" : "when", 12));
  const joins = calls.filter(({ command }) => command === "join");
  expect(joins).toHaveLength(46);
  expect(joins[0]).toMatchObject({ options: { request: 12 }, asker: calls[0]?.asker });
  expect(new Set(calls.map(({ onceKey }) => onceKey)).size).toBe(92);
});
