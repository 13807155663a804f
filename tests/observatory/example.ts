/** The example observatory, and the same one with other mounts. */
import fc from "fast-check";
import { loadConfig } from "../../src/config/load.js";
import type { Dome, Mount, Observatory } from "../../src/observatory/observatory.js";

export const ternHollow: Observatory = loadConfig("config/tern-hollow.yaml").observatory;

export const exampleDome = ternHollow.dome as Dome;

/** The example observatory on another mount, at another latitude, under another dome. */
export function withMount(
  kind: Mount["kind"],
  change: { latitudeDegrees?: number; dome?: Dome | null } = {},
): Observatory {
  const latitudeDegrees = change.latitudeDegrees ?? ternHollow.site.latitudeDegrees;
  return {
    ...ternHollow,
    site: { ...ternHollow.site, latitudeDegrees },
    mount: { ...ternHollow.mount, kind },
    dome: change.dome === undefined ? ternHollow.dome : change.dome,
  };
}

/** A dome whose tube's line passes through its centre. */
export const centredDome: Dome = {
  ...exampleDome,
  mountOffsetMetres: { north: 0, east: 0, up: 0 },
  tubeOffsetMetres: 0,
};

/** Evenly spread over the range: a bare double would nearly always be next to zero. */
export const anyNumber = (min: number, max: number): fc.Arbitrary<number> =>
  fc.integer({ min: 0, max: 2 ** 30 }).map((step) => min + ((max - min) * step) / 2 ** 30);

export const anyAxis = fc.record({ speed: anyNumber(0.1, 20), acceleration: anyNumber(0.05, 50) });

/** Anywhere on the sky, of date. */
export const anyPlace = fc.record({
  hourAngleRadians: anyNumber(-Math.PI, Math.PI - 1e-9),
  declinationRadians: anyNumber(-Math.PI / 2, Math.PI / 2),
});

export const anyKind = fc.constantFrom<Mount["kind"]>("equatorial-fork", "german-equatorial", "altazimuth");

/** Not at the upper or lower meridian, where east and west meet. */
export function clearOfMeridian(place: { hourAngleRadians: number }): boolean {
  const angle = Math.abs(place.hourAngleRadians);
  return angle > 1e-6 && angle < Math.PI - 1e-6;
}
