/** Twilight by its name and course, as tables print it: from the stretches that the program itself looks for. */
import type { Degrees, UtcMillis } from "../../src/base/units.js";
import type { Interval } from "../../src/sky/interval.js";
import type { Night } from "../../src/sky/night.js";
import type { Site } from "../../src/sky/site.js";
import { TWILIGHT_DEGREES, whileSunBelow } from "../../src/sky/twilight.js";

export type TwilightName = keyof typeof TWILIGHT_DEGREES;

/** When the Sun is below one of these altitudes in a night. */
export interface Twilight {
  readonly sunAltitudeDegrees: Degrees;
  /**
   * `comes-and-ends`: an ordinary night. `never-comes`: the Sun stays above (for sunset: polar day).
   * `never-ends`: it stays below from noon to noon (for sunset: polar night).
   */
  readonly course: "comes-and-ends" | "never-comes" | "never-ends";
  /** The Sun sinks below it; null where it does not, or was below already at noon. */
  readonly duskUnixMs: UtcMillis | null;
  /** The Sun rises above it again; null where it does not before the night's end at noon. */
  readonly dawnUnixMs: UtcMillis | null;
}

/** All four for a night. */
export function twilightsOf(night: Night, site: Site): Readonly<Record<TwilightName, Twilight>> {
  return {
    sunset: twilightAt(TWILIGHT_DEGREES.sunset, night, site),
    civil: twilightAt(TWILIGHT_DEGREES.civil, night, site),
    nautical: twilightAt(TWILIGHT_DEGREES.nautical, night, site),
    astronomical: twilightAt(TWILIGHT_DEGREES.astronomical, night, site),
  };
}

/** The same for any altitude of the Sun's centre. */
export function twilightAt(sunAltitudeDegrees: Degrees, night: Night, site: Site): Twilight {
  const [longest] = whileSunBelow(sunAltitudeDegrees, night, site).sort((a, b) => lengthOf(b) - lengthOf(a));
  if (longest === undefined)
    return { sunAltitudeDegrees, course: "never-comes", duskUnixMs: null, dawnUnixMs: null };
  const duskUnixMs = longest.openUnixMs > night.startUnixMs ? longest.openUnixMs : null;
  const dawnUnixMs = longest.closeUnixMs < night.endUnixMs ? longest.closeUnixMs : null;
  const course = duskUnixMs === null && dawnUnixMs === null ? "never-ends" : "comes-and-ends";
  return { sunAltitudeDegrees, course, duskUnixMs, dawnUnixMs };
}

function lengthOf({ openUnixMs, closeUnixMs }: Interval): number {
  return closeUnixMs - openUnixMs;
}
