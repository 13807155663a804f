/** Targets, nights and a site for tests of the sky. */
import { DAY, type Degrees, type UtcMillis } from "../../src/base/units.js";
import type { Night } from "../../src/sky/night.js";
import type { Site } from "../../src/sky/site.js";
import type { BodyTarget, FixedTarget } from "../../src/sky/target.js";

/** A night of 24 hours from the noon that a row gives. */
export function nightFrom(startUnixMs: UtcMillis): Night {
  return {
    date: new Date(startUnixMs).toISOString().slice(0, 10),
    startUnixMs,
    endUnixMs: startUnixMs + DAY,
  };
}

export function fixedAt(raDegrees: Degrees, decDegrees: Degrees): FixedTarget {
  return {
    kind: "fixed",
    id: `at ${raDegrees} ${decDegrees}`,
    name: "a position",
    type: "position",
    raDegrees,
    decDegrees,
    magnitude: null,
    sizeArcminutes: null,
  };
}

export function bodyNamed(body: BodyTarget["body"]): BodyTarget {
  return {
    kind: "body",
    id: body.toLowerCase(),
    name: body,
    type: body === "Moon" ? "moon" : "planet",
    body,
  };
}

/** The example observatory's site. */
export const ternHollow: Site = {
  name: "Tern Hollow",
  latitudeDegrees: 42.5,
  longitudeDegrees: -100.5,
  elevationMetres: 950,
  timeZone: "America/Chicago",
};

/** Somewhere else, without a time zone of its own. */
export function siteAt(latitudeDegrees: Degrees, longitudeDegrees: Degrees, elevationMetres = 0): Site {
  return { name: "a site", latitudeDegrees, longitudeDegrees, elevationMetres, timeZone: "UTC" };
}

/** Degrees of an angle given in degrees, minutes and seconds, or hours of one given in hours. */
export function sexagesimal(whole: number, minutes: number, seconds: number): number {
  return whole + minutes / 60 + seconds / 3600;
}
