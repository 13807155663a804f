/** Where a body stands that goes round the Sun undisturbed: Kepler's problem for ellipses, parabolas and hyperbolas alike. */
import { DAY, type Degrees, RADIANS_PER_DEGREE, type UtcMillis } from "../../base/units.js";
import type { Vector3 } from "../vector.js";

/** Heliocentric elements, ecliptic and equinox J2000; Julian dates are terrestrial time. */
export interface Orbit {
  readonly perihelionAu: number;
  /** 0 and more: below 1 an ellipse, 1 a parabola, beyond a hyperbola. */
  readonly eccentricity: number;
  readonly inclinationDegrees: Degrees;
  readonly nodeDegrees: Degrees;
  readonly argumentDegrees: Degrees;
  readonly perihelionJulianDate: number;
  /** When the elements were true: the further from it, the more the planets have disturbed the body. */
  readonly epochJulianDate: number;
  readonly brightness: Brightness;
}

/** What its magnitude follows from; null where none was published. */
export type Brightness =
  /** A minor planet's H and G (Bowell et al. 1989, Asteroids II, 524). */
  | { readonly law: "H-G"; readonly absolute: number; readonly slope: number }
  /** A comet's total magnitude at 1 AU from Sun and Earth, and how it rises: 2.5 × slope × log r. */
  | { readonly law: "comet"; readonly absolute: number; readonly slope: number }
  | null;

/** Gauss's constant: √GM of the Sun, AU^1.5 a day (IAU 1976; as Meeus, Astronomical Algorithms, ch. 30). */
const GAUSS = 0.017_202_098_95;
/** Obliquity of the ecliptic at J2000, 84381.448″ (IAU 1976), by which published elements are turned. */
const OBLIQUITY = (84_381.448 / 3600) * RADIANS_PER_DEGREE;

/** The Julian date of 1970-01-01T00:00, from which milliseconds count. */
export const UNIX_JULIAN_DATE = 2_440_587.5;

/** Julian date in terrestrial time of an instant. */
export function julianDateTt(unixMs: UtcMillis, ttMinusUtcSeconds: number): number {
  return UNIX_JULIAN_DATE + (unixMs + ttMinusUtcSeconds * 1000) / DAY;
}

/** The body's place at a Julian date (TT): AU from the Sun, J2000 equator and equinox. */
export function heliocentric(orbit: Orbit, julianDate: number): Vector3 {
  const { perihelionAu: q, eccentricity: e } = orbit;
  const days = sincePerihelion(orbit, julianDate);
  const anomaly = universalAnomaly(q, e, GAUSS * days);
  const square = anomaly * anomaly;
  const { c2, c3 } = stumpff(((1 - e) / q) * square);
  // Lagrange's coefficients from perihelion, where the body moves across the line to the Sun.
  const along = q - square * c2;
  const across = (GAUSS * days - square * anomaly * c3) * Math.sqrt((1 + e) / q);
  return inSpace(orbit, along, across);
}

/** Days since the perihelion, on an ellipse since the nearest one. */
function sincePerihelion(orbit: Orbit, julianDate: number): number {
  const days = julianDate - orbit.perihelionJulianDate;
  if (orbit.eccentricity >= 1) return days;
  const period = (2 * Math.PI * (orbit.perihelionAu / (1 - orbit.eccentricity)) ** 1.5) / GAUSS;
  return days - period * Math.round(days / period);
}

/**
 * Solves Kepler's equation in universal variables, q s + e s³ c₃(αs²) = k t with α = (1 − e)/q (Battin, An Introduction to
 * the Mathematics and Methods of Astrodynamics, ch. 4): the left side rises with s everywhere, so that Newton's steps
 * within a bracket always arrive.
 */
function universalAnomaly(q: number, e: number, time: number): number {
  const alpha = (1 - e) / q;
  const excess = (s: number): number => q * s + e * s ** 3 * stumpff(alpha * s * s).c3 - Math.abs(time);
  let low = 0;
  let high = 1;
  while (excess(high) < 0) high *= 2;
  let s = Math.min(high, Math.abs(time) / q);
  for (let step = 0; step < MOST_STEPS; step++) {
    const over = excess(s);
    if (over > 0) high = s;
    else low = s;
    const newton = s - over / (q + e * s * s * stumpff(alpha * s * s).c2);
    const next = newton > low && newton < high ? newton : (low + high) / 2;
    if (Math.abs(next - s) <= 1e-14 * Math.max(1, s)) return Math.sign(time) * next;
    s = next;
  }
  return Math.sign(time) * s;
}
const MOST_STEPS = 200;

/** Stumpff's functions c₂ and c₃, by their series where the closed forms would cancel. */
function stumpff(x: number): { c2: number; c3: number } {
  if (Math.abs(x) < 0.1) return { c2: series(x, 2), c3: series(x, 3) };
  const root = Math.sqrt(Math.abs(x));
  return x > 0
    ? { c2: (1 - Math.cos(root)) / x, c3: (root - Math.sin(root)) / (x * root) }
    : { c2: (1 - Math.cosh(root)) / x, c3: (root - Math.sinh(root)) / (x * root) };
}

/** 1/n! − x/(n + 2)! + x²/(n + 4)! − … */
function series(x: number, n: 2 | 3): number {
  let term = n === 2 ? 1 / 2 : 1 / 6;
  let sum = term;
  for (let k = n; Math.abs(term) > 1e-18 * Math.abs(sum); k += 2) {
    term *= -x / ((k + 1) * (k + 2));
    sum += term;
  }
  return sum;
}

/** From the plane of the orbit to the equator of J2000 (Meeus, ch. 33). */
function inSpace(orbit: Orbit, along: number, across: number): Vector3 {
  const argument = orbit.argumentDegrees * RADIANS_PER_DEGREE;
  const node = orbit.nodeDegrees * RADIANS_PER_DEGREE;
  const tilt = orbit.inclinationDegrees * RADIANS_PER_DEGREE;
  const onNode = along * Math.cos(argument) - across * Math.sin(argument);
  const offNode = along * Math.sin(argument) + across * Math.cos(argument);
  const x = onNode * Math.cos(node) - offNode * Math.sin(node) * Math.cos(tilt);
  const y = onNode * Math.sin(node) + offNode * Math.cos(node) * Math.cos(tilt);
  const z = offNode * Math.sin(tilt);
  return {
    x,
    y: y * Math.cos(OBLIQUITY) - z * Math.sin(OBLIQUITY),
    z: y * Math.sin(OBLIQUITY) + z * Math.cos(OBLIQUITY),
  };
}
