/** The one door to the ephemeris library: its time scale set right, its vectors in the frame of date. */
import {
  type AstroTime,
  BaryState,
  Body,
  C_AUDAY,
  GeoVector,
  HelioVector,
  MakeTime,
  Observer,
  Rotation_EQJ_EQD,
  type RotationMatrix,
  SetDeltaTFunction,
} from "astronomy-engine";
import { DAY, HOUR, RADIANS_PER_DEGREE, type Seconds, type UtcMillis } from "../base/units.js";
import { remembering } from "./memo.js";
import type { Site } from "./site.js";
import { heliocentric, julianDateTt, type Orbit } from "./small-bodies/orbit.js";
import type { BodyTarget, FixedTarget, SmallBodyTarget } from "./target.js";
import { length, less, unit, type Vector3 } from "./vector.js";

/**
 * TT − UTC: 37 leap seconds, in force since 2017-01-01 (IERS Bulletin C 52), and TT − TAI = 32.184 s.
 * UT1 is taken to be UTC (IERS keeps them within 0.9 s); the library's own ΔT runs 5–9 s ahead in these years,
 * which puts the Moon 3–5″ out.
 */
export const TT_MINUS_UTC_SECONDS: Seconds = 69.184;
SetDeltaTFunction(() => TT_MINUS_UTC_SECONDS);

/** 2000-01-01T12:00 UTC, from which the library counts its days. */
const EPOCH_UNIX_MS: UtcMillis = 946_728_000_000;

/** A body whose place moves within a night: of the library's by name, any other by its orbit. */
export type MovingBody = NamedBody | Orbit;
export type NamedBody = BodyTarget["body"] | "Sun";

/** What of a target moves. */
export function movingPart(target: BodyTarget | SmallBodyTarget): MovingBody {
  return target.kind === "body" ? target.body : target.orbit;
}

/** The library's time for an instant. */
export function timeOf(unixMs: UtcMillis): AstroTime {
  return MakeTime((unixMs - EPOCH_UNIX_MS) / DAY);
}

/** The library's observer for a site. */
export function observerOf(site: Site): Observer {
  return new Observer(site.latitudeDegrees, site.longitudeDegrees, site.elevationMetres);
}

/** The library's name for a body. */
export function bodyOf(body: NamedBody): Body {
  return Body[body];
}

/**
 * Geocentric apparent place of a body: astronomical units, true equator and equinox of date,
 * corrected for light time and annual aberration.
 */
export function geocentricOfDate(body: MovingBody, unixMs: UtcMillis): Vector3 {
  const time = timeOf(unixMs);
  const vector =
    typeof body === "string" ? GeoVector(bodyOf(body), time, true) : orbitSeen(body, unixMs).apparent;
  return rotated(Rotation_EQJ_EQD(time), vector);
}

/** A small body as light shows it from the Earth's centre, AU, J2000 axes. */
interface OrbitSeen {
  /** From where the Earth is: among the stars of a catalogue. */
  readonly astrometric: Vector3;
  /** From where the Earth was when the light left, which makes up for annual aberration (as the library does). */
  readonly apparent: Vector3;
  /** From the Sun, when the light left. */
  readonly fromSun: Vector3;
}

/** Places of an undisturbed orbit, corrected for light time (Meeus, Astronomical Algorithms, ch. 33). */
export function orbitSeen(orbit: Orbit, unixMs: UtcMillis): OrbitSeen {
  const earth = HelioVector(Body.Earth, timeOf(unixMs));
  let fromSun = heliocentric(orbit, julianDateTt(unixMs, TT_MINUS_UTC_SECONDS));
  let lightMs = 0;
  // The distance changes by some 1e-4 of itself meanwhile: twice is enough.
  for (let pass = 0; pass < 2; pass++) {
    lightMs = (length(less(fromSun, earth)) / C_AUDAY) * DAY;
    fromSun = heliocentric(orbit, julianDateTt(unixMs - lightMs, TT_MINUS_UTC_SECONDS));
  }
  const earthThen = HelioVector(Body.Earth, timeOf(unixMs - lightMs));
  return { astrometric: less(fromSun, earth), apparent: less(fromSun, earthThen), fromSun };
}

/** What turns a catalogue place into an apparent one: the Earth's velocity, and precession with nutation. */
interface Frame {
  /** Barycentric velocity of the Earth in units of the speed of light, J2000 axes. */
  readonly velocity: Vector3;
  /** From J2000 to the true equator and equinox of date. */
  readonly rotation: RotationMatrix;
}

/** The frame of an hour serves all of it: aberration changes by less than 0.01″ in half an hour. */
const frameOfHour = remembering(256, (hour: number): Frame => {
  const time = timeOf((hour + 0.5) * HOUR);
  const { vx, vy, vz } = BaryState(Body.Earth, time);
  return {
    velocity: { x: vx / C_AUDAY, y: vy / C_AUDAY, z: vz / C_AUDAY },
    rotation: Rotation_EQJ_EQD(time),
  };
});

/**
 * Apparent direction of a fixed target: unit vector, true equator and equinox of date.
 * Annual aberration to first order (Explanatory Supplement, 3rd ed., 7.2.3; the neglected term is 0.001″),
 * then precession (IAU 2006) and nutation (truncated IAU 2000B), as the library has them.
 */
export function apparentDirection(target: FixedTarget, unixMs: UtcMillis): Vector3 {
  const frame = frameOfHour(Math.floor(unixMs / HOUR));
  const ra = target.raDegrees * RADIANS_PER_DEGREE;
  const dec = target.decDegrees * RADIANS_PER_DEGREE;
  const seen = {
    x: Math.cos(dec) * Math.cos(ra) + frame.velocity.x,
    y: Math.cos(dec) * Math.sin(ra) + frame.velocity.y,
    z: Math.sin(dec) + frame.velocity.z,
  };
  return unit(rotated(frame.rotation, seen));
}

/** The library's rotation applied to plain components (its own function wants a dated vector). */
function rotated({ rot }: RotationMatrix, v: Vector3): Vector3 {
  const component = (axis: 0 | 1 | 2): number =>
    rot[0]![axis]! * v.x + rot[1]![axis]! * v.y + rot[2]![axis]! * v.z;
  return { x: component(0), y: component(1), z: component(2) };
}
