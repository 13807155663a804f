/** Which targets suit a class's hour: high all through, dark enough, bright enough, away from the Moon, and far apart. */
import { type Degrees, MINUTE, type UtcMillis } from "../../base/units.js";
import type { Config } from "../../config/config.js";
import type { SuggestedExposure } from "../../observatory/exposure.js";
import type { Camera } from "../../observatory/observatory.js";
import { pixelScaleArcseconds } from "../../observatory/photometry.js";
import { windowsOf } from "../../observatory/window.js";
import { magnitudeAt } from "../../sky/magnitude.js";
import { moonPhase } from "../../sky/moon.js";
import type { Catalogue } from "../../sky/names/catalogue.js";
import type { Night } from "../../sky/night.js";
import { horizontal, separationDegrees } from "../../sky/place-at.js";
import type { Target } from "../../sky/target.js";
import { horizontalOf, trackOf } from "../../sky/track.js";
import { usualFilter } from "../read/read-sky.js";
import { suggested } from "./frame-view.js";
import { showpiecesOf } from "./up-now.js";

/** A target that suits, with what was asked of it. */
export interface Suited {
  readonly target: Target;
  /** True altitude at its lowest in the hour. */
  readonly lowestDegrees: Degrees;
  /** From the Moon in the middle of the hour; null while the Moon is down, and for the Moon itself. */
  readonly moonDegrees: Degrees | null;
  readonly filter: string;
  readonly exposure: SuggestedExposure;
}

/** High enough all through: airmass below 1.75. Common practice, no source. */
export const LEAST_ALTITUDE: Degrees = 35;
/** So far from a Moon that is up, when it is bright. Common practice, no source. */
export const MOON_DISTANCE: Degrees = 30;
const BRIGHT_MOON = 0.2;
/** A surface that shows this much signal to noise pleases; a star shows far more. Common practice, no source. */
const LEAST_SIGNAL_TO_NOISE = 10;
/** A class that waits for its frame does not wait longer than this for one request, seconds. Common practice, no source. */
const LONGEST_REQUEST_SECONDS = 120;
/** What is wider than so many fields shows the camera only a piece of itself. Common practice, no source. */
const MOST_FIELDS = 10;
/** Altitudes are looked at so often; between them a target moves by little more than a degree. */
const STEP = 5 * MINUTE;

/** All well-known targets that suit the stretch, in no particular order. */
export function suitedTargets(
  catalogue: Catalogue,
  night: Night,
  fromUnixMs: UtcMillis,
  untilUnixMs: UtcMillis,
  config: Config,
): Suited[] {
  return showpiecesOf(catalogue).flatMap((target) => {
    const suited = suitedTo(target, night, fromUnixMs, untilUnixMs, config);
    return suited ? [suited] : [];
  });
}

function suitedTo(
  target: Target,
  night: Night,
  fromUnixMs: UtcMillis,
  untilUnixMs: UtcMillis,
  config: Config,
): Suited | null {
  const { observatory } = config;
  if (sizeArcminutes(target) > MOST_FIELDS * fieldArcminutes(observatory.camera)) return null;
  const lowestDegrees = lowest(target, night, fromUnixMs, untilUnixMs, config);
  if (lowestDegrees < LEAST_ALTITUDE) return null;
  const open = windowsOf(target, night, observatory).some(
    ({ openUnixMs, closeUnixMs }) => openUnixMs <= fromUnixMs && untilUnixMs <= closeUnixMs,
  );
  if (!open) return null;
  const middle = (fromUnixMs + untilUnixMs) / 2;
  const moonDegrees = moonDistance(target, fromUnixMs, untilUnixMs, config);
  if (
    moonDegrees !== null &&
    moonDegrees < MOON_DISTANCE &&
    moonPhase(middle).illuminatedFraction >= BRIGHT_MOON
  )
    return null;
  const filter = filterFor(target, middle, config);
  const exposure = suggested(target, filter, middle, config);
  if (exposure === null || exposure.saturates) return null;
  if (exposure.signalToNoise !== null && exposure.signalToNoise < LEAST_SIGNAL_TO_NOISE) return null;
  if (exposure.frames * exposure.exposureSeconds > LONGEST_REQUEST_SECONDS) return null;
  return { target, lowestDegrees, moonDegrees, filter, exposure };
}

function sizeArcminutes(target: Target): number {
  return target.kind === "fixed" ? (target.sizeArcminutes ?? 0) : 0;
}

function fieldArcminutes(camera: Camera): number {
  return (pixelScaleArcseconds(camera) * Math.min(camera.widthPixels, camera.heightPixels)) / 60;
}

/** The usual one, or one in which the target is not over the top. */
function filterFor(target: Target, unixMs: UtcMillis, config: Config): string {
  const usual = usualFilter(config.observatory.camera.filters);
  return suggested(target, usual, unixMs, config)?.betterFilter ?? usual;
}

function lowest(
  target: Target,
  night: Night,
  fromUnixMs: UtcMillis,
  untilUnixMs: UtcMillis,
  { observatory }: Config,
): Degrees {
  const track = trackOf(target, night, observatory.site);
  let least = horizontalOf(track, untilUnixMs).altitudeDegrees;
  for (let unixMs = fromUnixMs; unixMs < untilUnixMs && least >= LEAST_ALTITUDE; unixMs += STEP)
    least = Math.min(least, horizontalOf(track, unixMs).altitudeDegrees);
  return least;
}

function moonDistance(
  target: Target,
  fromUnixMs: UtcMillis,
  untilUnixMs: UtcMillis,
  { observatory: { site } }: Config,
): Degrees | null {
  if (target.type === "moon") return null;
  const up = [fromUnixMs, untilUnixMs].some((unixMs) => horizontal("Moon", unixMs, site).altitudeDegrees > 0);
  return up ? separationDegrees(target, "Moon", (fromUnixMs + untilUnixMs) / 2, site) : null;
}

/** A kind of object already chosen makes another of it less welcome: worth this many degrees of distance. */
const SAME_KIND: Degrees = 25;
/** And so much is each magnitude that a target is brighter. */
const PER_MAGNITUDE: Degrees = 5;
/** Further apart than this is no better spread. */
const FAR_ENOUGH: Degrees = 60;
/** Planets by what they show rather than by their light; a double star shows less than its light says. */
const PLANET_MAGNITUDE = 3;
const FAINT_PLANET_MAGNITUDE = 8;
const DOUBLE_STAR_HANDICAP = 4;
const FAINTEST_LISTED = 9.5;

/**
 * A choice of bright targets well spread over the sky and over kinds of objects: each next one is that which
 * stands furthest from those chosen, all told (after the farthest-first traversal: Gonzalez 1985, Theoretical
 * Computer Science 38, 293); the first is the brightest.
 */
export function spreadOut(
  suited: readonly Suited[],
  most: number,
  unixMs: UtcMillis,
  config: Config,
): Suited[] {
  const left = [...suited];
  const chosen: Suited[] = [];
  while (chosen.length < most && left.length > 0) {
    const merits = left.map((candidate) => meritOf(candidate, chosen, unixMs, config));
    const best = merits.indexOf(Math.max(...merits));
    chosen.push(...left.splice(best, 1));
  }
  return chosen;
}

function meritOf(
  { target, lowestDegrees }: Suited,
  chosen: readonly Suited[],
  unixMs: UtcMillis,
  config: Config,
): number {
  const { site } = config.observatory;
  const apart = chosen.map((each) => separationDegrees(each.target, target, unixMs, site));
  const alike = chosen.filter((each) => each.target.type === target.type).length;
  return (
    Math.min(FAR_ENOUGH, ...apart) -
    SAME_KIND * alike -
    PER_MAGNITUDE * magnitudeOf(target, unixMs) +
    lowestDegrees / 10
  );
}

function magnitudeOf(target: Target, unixMs: UtcMillis): number {
  if (target.kind === "body")
    return target.body === "Uranus" || target.body === "Neptune" ? FAINT_PLANET_MAGNITUDE : PLANET_MAGNITUDE;
  const listed = magnitudeAt(target, unixMs) ?? FAINTEST_LISTED;
  return target.type === "double star" ? listed + DOUBLE_STAR_HANDICAP : listed;
}
