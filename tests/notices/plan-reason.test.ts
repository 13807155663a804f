/** Reasons that only the rule `planned` knows, in words. */
import { expect, it } from "vitest";
import { planClause } from "../../src/notices/words/plan-reason.js";
import type { PlanReason } from "../../src/queue/decider.js";
import { text } from "../commands/world.js";

const now = Date.UTC(2026, 10, 26, 3);

it.each<[PlanReason, RegExp]>([
  [
    { what: "waits", untilUnixMs: now, nowDegrees: 20, thenDegrees: 61 },
    /^#2 waits until .*, when it stands at 61° instead of 20°$/,
  ],
  [
    { what: "no-room", takesMs: 60_000, otherTakesMs: 910_000 },
    /^the night's plan has no room for #2, which takes longer, 15 min 10 s against 1 min$/,
  ],
  [{ what: "no-room", takesMs: 60_000, otherTakesMs: 50_000 }, /^the night's plan has no room for #2$/],
  [
    { what: "closing", closeUnixMs: now, otherUnixMs: now + 60_000 },
    /^it must be done by .*, and #2 can still go at /,
  ],
  [
    { what: "airmass", planned: 2.4, exchanged: 2.71 },
    /^the two have less airmass so, 2\.40 against 2\.71 in all with their times exchanged$/,
  ],
  [{ what: "near", readyMs: 12_000, otherReadyMs: 40_000 }, /^it is nearer, 12 s against 40 s of moving$/],
  [{ what: "whole" }, /^the night's plan has it first/],
])("%o", (why, words) => {
  expect(text(planClause(why, "#2", now))).toMatch(words);
});
