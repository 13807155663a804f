/** The Moon's phase, and how much of it is lit. */
import { MoonPhase } from "astronomy-engine";
import type { Degrees, UtcMillis } from "../base/units.js";
import { appearanceOf } from "./appearance.js";
import { timeOf } from "./ephemeris.js";

export type PhaseName =
  | "new moon"
  | "waxing crescent"
  | "first quarter"
  | "waxing gibbous"
  | "full moon"
  | "waning gibbous"
  | "last quarter"
  | "waning crescent";

/** The Moon's phase at an instant, geocentric. */
export interface Phase {
  /** Ecliptic longitude of the Moon less that of the Sun, [0, 360): 0 new, 90 first quarter, 180 full. */
  readonly elongationDegrees: Degrees;
  readonly name: PhaseName;
  /** 0 to 1. */
  readonly illuminatedFraction: number;
  /** Angle at the Moon between Sun and Earth: 0 when full (Meeus, Astronomical Algorithms, ch. 48). */
  readonly phaseAngleDegrees: Degrees;
}

/** The four principal phases keep their name for about a day: half the Moon's daily gain on the Sun either way. */
const HALF_A_DAY_DEGREES: Degrees = 6.1;

const PRINCIPAL: readonly PhaseName[] = ["new moon", "first quarter", "full moon", "last quarter"];
const BETWEEN: readonly PhaseName[] = [
  "waxing crescent",
  "waxing gibbous",
  "waning gibbous",
  "waning crescent",
];

/** Phase and illuminated fraction. */
export function moonPhase(unixMs: UtcMillis): Phase {
  const elongationDegrees = MoonPhase(timeOf(unixMs));
  const { illuminatedFraction, phaseAngleDegrees } = appearanceOf("Moon", unixMs);
  return { elongationDegrees, name: phaseName(elongationDegrees), illuminatedFraction, phaseAngleDegrees };
}

function phaseName(elongation: Degrees): PhaseName {
  const quarter = Math.round(elongation / 90) % 4;
  const offset = Math.abs(elongation - Math.round(elongation / 90) * 90);
  return (offset <= HALF_A_DAY_DEGREES ? PRINCIPAL[quarter] : BETWEEN[Math.floor(elongation / 90) % 4])!;
}
