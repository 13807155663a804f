/** The machines a request has to wait for, and the limits they keep. */
import type { Degrees, Metres, Seconds } from "../base/units.js";
import type { Site } from "../sky/site.js";

/** One mount axis: a trapezoidal velocity profile. */
export interface Axis {
  /** Top speed, degrees per second. */
  readonly speed: number;
  /** Acceleration and deceleration, degrees per second squared. */
  readonly acceleration: number;
}

export interface Mount {
  readonly kind: "equatorial-fork" | "german-equatorial" | "altazimuth";
  /** Hour angle (equatorial) or azimuth (altazimuth). */
  readonly firstAxis: Axis;
  /** Declination (equatorial) or altitude (altazimuth). */
  readonly secondAxis: Axis;
  /** After the axes stop: vibration dies down, guiding locks. */
  readonly settleSeconds: Seconds;
}

export interface Dome {
  readonly diameterMetres: Metres;
  /** Rotation, as for a mount axis. */
  readonly rotation: Axis;
  /** Time to open the shutter from fully closed. */
  readonly shutterSeconds: Seconds;
  readonly slitWidthMetres: Metres;
  /** Where the mount's axes cross, from the dome sphere's centre: north, east, up. */
  readonly mountOffsetMetres: {
    readonly north: Metres;
    readonly east: Metres;
    readonly up: Metres;
  };
  /** Distance from the polar axis to the tube's own axis (0 for a fork that carries it centrally). */
  readonly tubeOffsetMetres: Metres;
}

export interface Filter {
  readonly name: string;
  /** Position in the wheel, from 0. */
  readonly slot: number;
  /** Extinction, magnitudes per airmass (positive). */
  readonly extinction: number;
  /** Photo-electrons per second, over the whole aperture, from a magnitude-0 star above the atmosphere. */
  readonly zeroPointElectrons: number;
  /** Dark-sky brightness at the zenith, magnitudes per square arc second. */
  readonly skyMagnitude: number;
}

export interface Camera {
  readonly widthPixels: number;
  readonly heightPixels: number;
  readonly pixelMicrometres: number;
  readonly focalLengthMillimetres: number;
  readonly gainElectronsPerAdu: number;
  readonly readNoiseElectrons: number;
  readonly darkElectronsPerSecond: number;
  readonly fullWellElectrons: number;
  readonly biasAdu: number;
  readonly readOutSeconds: Seconds;
  /** Full width at half maximum of a star's image at the zenith, arc seconds. */
  readonly seeingArcseconds: number;
  /** The wheel turns one slot in this time, the shorter way round. */
  readonly filterStepSeconds: Seconds;
  readonly filters: readonly Filter[];
}

/** Highest altitude that trees and walls reach, at an azimuth; linear between corners, closed at 360°. */
export interface MaskCorner {
  readonly azimuthDegrees: Degrees;
  readonly altitudeDegrees: Degrees;
}

export interface Limits {
  /** Lowest altitude at which the telescope points, true (unrefracted). */
  readonly altitudeDegrees: Degrees;
  readonly horizonMask: readonly MaskCorner[];
  /** The Sun's centre must be at or below this for fixed targets (−12 for nautical twilight). */
  readonly sunAltitudeDegrees: Degrees;
  /** The same for planets, the Moon and stars brighter than `brightMagnitude`. */
  readonly brightSunAltitudeDegrees: Degrees;
  readonly brightMagnitude: number;
  /** Nothing closer to the Sun than this, ever. */
  readonly sunSeparationDegrees: Degrees;
  /** No target closer to the Moon than this (the Moon itself excepted). */
  readonly moonSeparationDegrees: Degrees;
  /** Furthest east or west of the meridian, hours; null for no limit. */
  readonly hourAngleHours: number | null;
  /** An altazimuth mount cannot follow nearer the zenith than this; null for no hole. */
  readonly zenithHoleDegrees: Degrees | null;
}

export interface Observatory {
  readonly site: Site;
  readonly mount: Mount;
  /** null: a roll-off roof or an open telescope. */
  readonly dome: Dome | null;
  readonly camera: Camera;
  readonly limits: Limits;
  /** From the last frame to the next request: files written, request read. */
  readonly handOverSeconds: Seconds;
}

/** Where the machines stand now: what the next move starts from. */
export interface Pointing {
  /** Mount axis angles, degrees; for a German mount the second component of the state is `flipped`. */
  readonly firstAxisDegrees: Degrees;
  readonly secondAxisDegrees: Degrees;
  readonly flipped: boolean;
  readonly domeAzimuthDegrees: Degrees;
  readonly filterSlot: number;
  readonly shutterOpen: boolean;
}

/** How long each part of one action takes, milliseconds; parts that run together are not summed. */
export interface ActionTimes {
  readonly slewMs: number;
  readonly domeMs: number;
  readonly filterMs: number;
  readonly shutterMs: number;
  readonly settleMs: number;
  /** max(slew, dome, filter, shutter) + settle. */
  readonly readyMs: number;
  /** frames × (exposure + read-out). */
  readonly exposingMs: number;
  readonly handOverMs: number;
  /** ready + exposing + hand-over. */
  readonly totalMs: number;
}

/** Learned multipliers on the configured times; 1 until something is learned. */
export interface OverheadFactors {
  readonly slew: number;
  readonly dome: number;
  readonly filter: number;
  readonly shutter: number;
  readonly settle: number;
  readonly readOut: number;
  readonly handOver: number;
}

export const CONFIGURED_OVERHEADS: OverheadFactors = {
  slew: 1,
  dome: 1,
  filter: 1,
  shutter: 1,
  settle: 1,
  readOut: 1,
  handOver: 1,
};

/** An interval in which a target may be observed. */
export interface Window {
  readonly openUnixMs: number;
  readonly closeUnixMs: number;
}
