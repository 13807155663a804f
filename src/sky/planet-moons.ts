/** Where the four great moons of Jupiter, and Titan, stand beside their planets. */
import { Body, C_AUDAY, GeoVector, JupiterMoons, KM_PER_AU } from "astronomy-engine";
import { DAY, DEGREES_PER_RADIAN, RADIANS_PER_DEGREE, type UtcMillis } from "../base/units.js";
import { timeOf } from "./ephemeris.js";
import { length, type Vector3 } from "./vector.js";

/** As seen from the Earth's centre. */
export interface PlanetMoon {
  readonly name: string;
  /** From the planet's centre, along the equator of J2000 and towards its pole. */
  readonly eastArcseconds: number;
  readonly northArcseconds: number;
  /** It stands beyond the planet's centre. */
  readonly isBeyond: boolean;
}

/** Jupiter's from the ephemeris library; Saturn's Titan from its mean elements; none for the other planets. */
export function moonsOf(planet: string, unixMs: UtcMillis): readonly PlanetMoon[] {
  if (planet !== "Jupiter" && planet !== "Saturn") return [];
  const seen = GeoVector(Body[planet], timeOf(unixMs), false);
  const thenMs = unixMs - (seen.Length() / C_AUDAY) * DAY;
  return planet === "Jupiter"
    ? Object.entries(JupiterMoons(timeOf(thenMs))).map(([name, place]) =>
        beside(`${name.charAt(0).toUpperCase()}${name.slice(1)}`, place as Vector3, seen),
      )
    : [beside("Titan", titan(thenMs), seen)];
}

/** An offset from the planet, J2000 axes, AU, as it is seen along the line to the planet. */
function beside(name: string, offset: Vector3, planet: Vector3): PlanetMoon {
  const distance = length(planet);
  const ra = Math.atan2(planet.y, planet.x);
  const dec = Math.asin(planet.z / distance);
  const outward = offset.x * Math.cos(ra) + offset.y * Math.sin(ra);
  const scale = (3600 * DEGREES_PER_RADIAN) / distance;
  return {
    name,
    eastArcseconds: (offset.y * Math.cos(ra) - offset.x * Math.sin(ra)) * scale,
    northArcseconds: (offset.z * Math.cos(dec) - outward * Math.sin(dec)) * scale,
    isBeyond: offset.z * Math.sin(dec) + outward * Math.cos(dec) > 0,
  };
}

/**
 * Titan's mean elements at 2000 January 1.5 TT about the pole of Saturn (Jet Propulsion Laboratory, planetary satellite
 * mean elements; from memory): good to some arc seconds.
 */
const TITAN = {
  axisKm: 1_221_865,
  eccentricity: 0.0288,
  periapsisDegrees: 180.532,
  meanAnomalyDegrees: 163.31,
  inclinationDegrees: 0.306,
  nodeDegrees: 28.06,
  degreesPerDay: 22.576_976_8,
  poleRaDegrees: 40.58,
  poleDecDegrees: 83.54,
};
const J2000_UNIX_MS: UtcMillis = 946_727_935_816;

function titan(unixMs: UtcMillis): Vector3 {
  const radians = (degrees: number): number => degrees * RADIANS_PER_DEGREE;
  const anomaly = radians(TITAN.meanAnomalyDegrees + (TITAN.degreesPerDay * (unixMs - J2000_UNIX_MS)) / DAY);
  const { eccentricity: e } = TITAN;
  // The equation of the centre, to e² (Meeus, Astronomical Algorithms, ch. 33).
  const truly = anomaly + 2 * e * Math.sin(anomaly) + 1.25 * e * e * Math.sin(2 * anomaly);
  const radius = ((TITAN.axisKm / KM_PER_AU) * (1 - e * e)) / (1 + e * Math.cos(truly));
  const argument = truly + radians(TITAN.periapsisDegrees);
  const node = radians(TITAN.nodeDegrees);
  const tilt = radians(TITAN.inclinationDegrees);
  const x =
    radius * (Math.cos(argument) * Math.cos(node) - Math.sin(argument) * Math.sin(node) * Math.cos(tilt));
  const y =
    radius * (Math.cos(argument) * Math.sin(node) + Math.sin(argument) * Math.cos(node) * Math.cos(tilt));
  const z = radius * Math.sin(argument) * Math.sin(tilt);
  // From the plane of that pole, counted from its node on the equator of J2000.
  const up = radians(90 - TITAN.poleDecDegrees);
  const turn = radians(TITAN.poleRaDegrees + 90);
  const flat = y * Math.cos(up) - z * Math.sin(up);
  return {
    x: x * Math.cos(turn) - flat * Math.sin(turn),
    y: x * Math.sin(turn) + flat * Math.cos(turn),
    z: y * Math.sin(up) + z * Math.cos(up),
  };
}
