/**
 * Planned: follows the night's plan (src/queue/planner), which is part of the state: for as many requests done as can
 * be, the smaller tier first, then for the lowest airmass, then for short waits.
 */
import { DEGREES_PER_RADIAN, type Degrees, type Millis, type UtcMillis } from "../../base/units.js";
import type { PlanReason } from "../decider.js";
import type { Moment } from "../moment.js";
import type { Followed } from "../planner/followed.js";
import { altitudeDegrees, byAsking } from "./deciders.js";
import type { OrderingRule } from "./ordering-rule.js";

export const planned: OrderingRule = {
  name: "planned",
  keepsGroups: false,
  acrossTiers: true,

  best: (moment) => courseIn(moment).next(),

  why(moment, row, other) {
    if (courseIn(moment).alike(row, other)) return byAsking(moment, row, other);
    const { group, tier } = moment.table;
    const [own, others] = [tier[group[row]!]!, tier[group[other]!]!];
    const why = reasonFor(moment, row, other);
    return own < others && why.what !== "waits"
      ? { by: "tier", tier: own, otherTier: others }
      : { by: "plan", why };
  },
};

function courseIn({ course }: Moment): Followed {
  if (course === null) throw new Error("nothing can be planned without a plan");
  return course;
}

/** Two airmasses that differ by less look the same. */
const LEAST_APART = 0.005;

function reasonFor(moment: Moment, row: number, other: number): PlanReason {
  const course = courseIn(moment);
  const { nowUnixMs, durations, table } = moment;
  const takesMs = (each: number): Millis =>
    durations.readyMs(each, nowUnixMs) + table.exposingMs[each]! + durations.handOverMs;
  const untilUnixMs = course.waitsUntil(other);
  if (untilUnixMs !== null)
    return {
      what: "waits",
      untilUnixMs,
      nowDegrees: altitudeDegrees(moment, other),
      thenDegrees: altitudeThen(course, other, untilUnixMs),
    };
  const otherUnixMs = course.expectedUnixMs(other);
  if (otherUnixMs === null) return { what: "no-room", takesMs: takesMs(row), otherTakesMs: takesMs(other) };
  const closeUnixMs = moment.closeUnixMs(table.group[row]!);
  if (otherUnixMs + durations.shortestReadyMs + table.exposingMs[row]! > closeUnixMs)
    return { what: "closing", closeUnixMs, otherUnixMs };
  const asPlanned = course.airmassAt(row, nowUnixMs) + course.airmassAt(other, otherUnixMs);
  const exchanged = course.airmassAt(row, otherUnixMs) + course.airmassAt(other, nowUnixMs);
  if (exchanged - asPlanned >= LEAST_APART) return { what: "airmass", planned: asPlanned, exchanged };
  const readyMs = durations.readyMs(row, nowUnixMs);
  const otherReadyMs = durations.readyMs(other, nowUnixMs);
  return readyMs < otherReadyMs ? { what: "near", readyMs, otherReadyMs } : { what: "whole" };
}

function altitudeThen(course: Followed, row: number, unixMs: UtcMillis): Degrees {
  return Math.asin(Math.max(-1, Math.min(1, course.sineAt(row, unixMs)))) * DEGREES_PER_RADIAN;
}
