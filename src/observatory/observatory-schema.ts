/** The machines a request has to wait for, and the limits they keep: every key, what it may hold, its default. */
import { IANAZone } from "luxon";
import { z } from "zod";

/** Text that is shown: no control characters, none that turn the direction of writing. */
export const shown = (longest: number) =>
  z
    .string()
    .trim()
    .min(1)
    .max(longest)
    .regex(/^[^\p{Cc}\u202a-\u202e\u2066-\u2069]*$/u, "text without control characters");

const site = z.strictObject({
  name: shown(80),
  /** Geodetic, north positive. */
  latitudeDegrees: z.number().min(-90).max(90),
  /** East positive. */
  longitudeDegrees: z.number().min(-180).max(180),
  elevationMetres: z.number().min(-430).max(6000),
  timeZone: z.string().refine((zone) => IANAZone.isValidZone(zone), "an IANA zone such as America/Chicago"),
});

/** One motor-driven axis: a trapezoidal velocity profile. */
const axis = z.strictObject({
  /** Top speed, degrees per second. */
  speed: z.number().positive().max(20),
  /** Acceleration and deceleration, degrees per second squared. */
  acceleration: z.number().positive().max(50),
});

const mount = z.strictObject({
  kind: z.enum(["equatorial-fork", "german-equatorial", "altazimuth"]),
  /** Hour angle (equatorial) or azimuth (altazimuth). */
  firstAxis: axis,
  /** Declination (equatorial) or altitude (altazimuth). */
  secondAxis: axis,
  /** After the axes stop: vibration dies down, guiding locks. */
  settleSeconds: z.number().min(0).max(600),
});

const dome = z.strictObject({
  diameterMetres: z.number().positive().max(60),
  rotation: axis,
  /** To open from fully closed. */
  shutterSeconds: z.number().min(0).max(1800),
  slitWidthMetres: z.number().positive().max(20),
  /** Where the mount's axes cross, from the dome sphere's centre. */
  mountOffsetMetres: z.strictObject({
    north: z.number(),
    east: z.number(),
    up: z.number(),
  }),
  /** From the polar axis to the tube's own axis (0 for a fork that carries it centrally). */
  tubeOffsetMetres: z.number().min(0).max(5),
});

const filter = z.strictObject({
  name: z.string().regex(/^[A-Za-zα-ωΑ-Ω][\wα-ωΑ-Ω-]{0,15}$/, "a short word such as V or clear"),
  /** Position in the wheel, from 0. */
  slot: z.number().int().min(0).max(31),
  /** Magnitudes per airmass. */
  extinction: z.number().min(0).max(3),
  /** Photo-electrons per second, over the whole aperture, from a magnitude-0 star above the atmosphere. */
  zeroPointElectrons: z.number().positive(),
  /** Dark-sky brightness at the zenith, magnitudes per square arc second. */
  skyMagnitude: z.number().min(10).max(30),
  /** Of the band let through: middle and full width. A narrow filter needs both, that nebulae's lines count in it. */
  centreNanometres: z.number().min(300).max(1100).nullable().default(null),
  widthNanometres: z.number().min(0.1).max(1000).nullable().default(null),
});

const camera = z.strictObject({
  widthPixels: z.number().int().min(16).max(20000),
  heightPixels: z.number().int().min(16).max(20000),
  pixelMicrometres: z.number().positive().max(100),
  focalLengthMillimetres: z.number().positive().max(100000),
  gainElectronsPerAdu: z.number().positive().max(1000),
  readNoiseElectrons: z.number().min(0).max(1000),
  darkElectronsPerSecond: z.number().min(0).max(1000),
  fullWellElectrons: z.number().positive(),
  biasAdu: z.number().min(0).max(60000),
  readOutSeconds: z.number().min(0).max(600),
  /** The shortest that the shutter can do: some 0.1 for a mechanical one. */
  shortestExposureSeconds: z.number().positive().max(60).default(0.01),
  /** The longest that mount and camera stand. */
  longestExposureSeconds: z.number().positive().max(7200).default(7200),
  /** Full width at half maximum of a star's image at the zenith. */
  seeingArcseconds: z.number().positive().max(30),
  /** The wheel turns one slot in this time, the shorter way round. */
  filterStepSeconds: z.number().min(0).max(120),
  filters: z.array(filter).min(1),
});

/** Highest altitude that trees and walls reach, at an azimuth; linear between corners, closed at 360°. */
const maskCorner = z.strictObject({
  azimuthDegrees: z.number().min(0).max(360),
  altitudeDegrees: z.number().min(-5).max(90),
});

const limits = z.strictObject({
  /** Lowest altitude at which the telescope points, true (unrefracted). */
  altitudeDegrees: z.number().min(0).max(80),
  horizonMask: z.array(maskCorner).default([]),
  /** The Sun's centre must be at or below this for fixed targets (−12 for nautical twilight). */
  sunAltitudeDegrees: z.number().min(-18).max(0).default(-12),
  /** The same for planets, the Moon and stars brighter than `brightMagnitude`. */
  brightSunAltitudeDegrees: z.number().min(-18).max(0).default(-6),
  brightMagnitude: z.number().default(3),
  /** Nothing closer to the Sun than this, ever. */
  sunSeparationDegrees: z
    .number()
    .min(10, "at least 10: the Sun limit protects eyes and optics")
    .max(180)
    .default(30),
  /** No target closer to the Moon than this (the Moon itself excepted). */
  moonSeparationDegrees: z.number().min(0).max(180).default(10),
  /** Furthest east or west of the meridian; null for no limit. */
  hourAngleHours: z.number().positive().max(12).nullable().default(null),
  /** An altazimuth mount cannot follow nearer the zenith than this; null for no hole. */
  zenithHoleDegrees: z.number().positive().max(30).nullable().default(null),
});

export const observatorySchema = z.strictObject({
  site,
  mount,
  /** null: a roll-off roof or an open telescope. */
  dome: dome.nullable(),
  camera,
  limits,
  /** From the last frame to the next request: files written, request read. */
  handOverSeconds: z.number().min(0).max(600),
});
