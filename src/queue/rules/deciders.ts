/** Reasons that several ordering rules share. */
import { DEGREES_PER_RADIAN, type Degrees } from "../../base/units.js";
import type { Decider } from "../decider.js";
import type { Moment } from "../moment.js";

/** True altitude of a row's target now. */
export function altitudeDegrees(moment: Moment, row: number): Degrees {
  const sine = moment.sinAltitude(moment.table.group[row]!);
  return Math.asin(Math.max(-1, Math.min(1, sine))) * DEGREES_PER_RADIAN;
}

/** Higher before lower; at the same altitude, asked earlier before later. */
export function byAltitude(moment: Moment, row: number, other: number): Decider {
  const { group } = moment.table;
  if (moment.sinAltitude(group[row]!) === moment.sinAltitude(group[other]!))
    return byAsking(moment, row, other);
  return {
    by: "altitude",
    altitudeDegrees: altitudeDegrees(moment, row),
    otherAltitudeDegrees: altitudeDegrees(moment, other),
  };
}

/** Asked earlier before later (and, asked at the same instant, the smaller number). */
export function byAsking({ table }: Moment, row: number, other: number): Decider {
  return {
    by: "asked",
    askedUnixMs: table.askedUnixMs[row]!,
    otherAskedUnixMs: table.askedUnixMs[other]!,
  };
}
