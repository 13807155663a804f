/** How bright a minor planet or a comet is. */
import type { UtcMillis } from "../../base/units.js";
import { orbitSeen } from "../ephemeris.js";
import { length } from "../vector.js";
import type { Orbit } from "./orbit.js";

/**
 * Visual magnitude, total for a comet (which may differ by a magnitude or two); null where none was published.
 * H and G: Bowell et al. 1989, as in Meeus, Astronomical Algorithms, ch. 33; comets: there likewise.
 */
export function orbitMagnitude({ brightness, ...orbit }: Orbit, unixMs: UtcMillis): number | null {
  if (brightness === null) return null;
  const { astrometric, fromSun } = orbitSeen({ brightness, ...orbit }, unixMs);
  const r = length(fromSun);
  const delta = length(astrometric);
  const { law, absolute, slope } = brightness;
  if (law === "comet") return absolute + 5 * Math.log10(delta) + 2.5 * slope * Math.log10(r);
  const cosine =
    (fromSun.x * astrometric.x + fromSun.y * astrometric.y + fromSun.z * astrometric.z) / (r * delta);
  const tangent = Math.tan(Math.acos(Math.min(1, Math.max(-1, cosine))) / 2);
  const steep = Math.exp(-3.33 * tangent ** 0.63);
  const even = Math.exp(-1.87 * tangent ** 1.22);
  return absolute + 5 * Math.log10(r * delta) - 2.5 * Math.log10((1 - slope) * steep + slope * even);
}
