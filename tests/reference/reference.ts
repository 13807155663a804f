/** The outside values of sky.json, made by make_sky_reference.py with astropy and ERFA. */
import { readFileSync } from "node:fs";
import type { Degrees, UtcMillis } from "../../src/base/units.js";
import type { Limits } from "../../src/observatory/observatory.js";
import type { NamedBody } from "../../src/sky/ephemeris.js";
import type { Site } from "../../src/sky/site.js";
import type { BodyTarget } from "../../src/sky/target.js";
import type { Twilight } from "../sky/twilights.js";

type MaybeTime = UtcMillis | null;

/** Rows as the script writes them; the first number is an index into `sites`. */
interface Reference {
  readonly with: string;
  readonly sites: readonly [name: string, latitude: Degrees, longitude: Degrees, height: number][];
  readonly fixed: readonly [
    number,
    UtcMillis,
    ra: Degrees,
    dec: Degrees,
    altitude: Degrees,
    azimuth: Degrees,
  ][];
  readonly bodies: readonly [number, UtcMillis, NamedBody, altitude: Degrees, azimuth: Degrees][];
  readonly twilights: readonly [
    number,
    start: UtcMillis,
    limit: Degrees,
    Twilight["course"],
    dusk: MaybeTime,
    dawn: MaybeTime,
  ][];
  readonly crossings: readonly [
    number,
    start: UtcMillis,
    BodyTarget["body"] | [ra: Degrees, dec: Degrees],
    limit: Degrees,
    rise: MaybeTime,
    transit: MaybeTime,
    transitAltitude: Degrees | null,
    set: MaybeTime,
  ][];
  readonly moonNights: readonly [number, start: UtcMillis, rise: MaybeTime, set: MaybeTime][];
  readonly limits: readonly Limits[];
  /** Edges: opening, closing, opening … */
  readonly windows: readonly [
    number,
    start: UtcMillis,
    BodyTarget["body"] | [ra: Degrees, dec: Degrees],
    bright: boolean,
    limits: number,
    edges: readonly UtcMillis[],
  ][];
}

export const reference = JSON.parse(readFileSync(new URL("sky.json", import.meta.url), "utf8")) as Reference;

export const sites: readonly Site[] = reference.sites.map(
  ([name, latitudeDegrees, longitudeDegrees, elevationMetres]) => ({
    name,
    latitudeDegrees,
    longitudeDegrees,
    elevationMetres,
    timeZone: "UTC",
  }),
);

/** Angle between two horizontal places, degrees. */
export function apart(
  a: { readonly altitudeDegrees: Degrees; readonly azimuthDegrees: Degrees },
  altitude: Degrees,
  azimuth: Degrees,
): Degrees {
  const radians = Math.PI / 180;
  const up = (a.altitudeDegrees - altitude) * radians;
  const round = (a.azimuthDegrees - azimuth) * radians;
  const squared =
    Math.sin(up / 2) ** 2 +
    Math.cos(a.altitudeDegrees * radians) * Math.cos(altitude * radians) * Math.sin(round / 2) ** 2;
  return (2 * Math.asin(Math.sqrt(squared))) / radians;
}
