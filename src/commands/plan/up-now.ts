/** What is up now and worth asking for, and where a target stands, at the price of a few multiplications each. */

import {
  DEGREES_PER_RADIAN,
  type Degrees,
  HOUR,
  RADIANS_PER_DEGREE,
  type UtcMillis,
} from "../../base/units.js";
import { bestIn, type Highest } from "../../observatory/highest.js";
import type { Observatory, Window } from "../../observatory/observatory.js";
import { windowsOf } from "../../observatory/window.js";
import { apparentAltitude } from "../../sky/airmass.js";
import { remaining } from "../../sky/interval.js";
import { magnitudeAt } from "../../sky/magnitude.js";
import { remembering } from "../../sky/memo.js";
import type { Catalogue } from "../../sky/names/catalogue.js";
import type { Night } from "../../sky/night.js";
import type { BodyTarget, Target } from "../../sky/target.js";
import { horizontalOf, type Track, trackOf } from "../../sky/track.js";
import { darkHoursOf, nightAt } from "./sky-view.js";

/** A target with its part of the night that is still to come. */
export interface Prospect {
  readonly target: Target;
  /** As seen now, refraction included; negative below the horizon. */
  readonly altitudeDegrees: Degrees;
  /** What is left of its windows tonight, in order; empty when there is none. */
  readonly windows: readonly Window[];
  /** Its highest point within them. */
  readonly best: Highest | null;
}

/** Bright enough to please in a short exposure: integrated magnitude. Common practice, no source. */
const SHOWPIECE_MAGNITUDE = 9.5;
/** Double stars that show something to a class: magnitude. Common practice, no source. */
const SHOWPIECE_STAR_MAGNITUDE = 5;
/** One magnitude is worth this much of the sine of the altitude when a short list is made. Common practice, no source. */
const SINE_PER_MAGNITUDE = 0.05;
/** Worth asking for now means this high or more. Common practice, no source. */
const GOOD_ALTITUDE: Degrees = 35;
/** Magnitudes added to a double star's when a short list is made. Common practice, no source. */
const DOUBLE_STAR_HANDICAP = 4;
/** Magnitudes added to a single star's, which shows least of all. Common practice, no source. */
const STAR_HANDICAP = 7;
/** Magnitudes added likewise outside Messier's list. Common practice, no source. */
const LESS_KNOWN_HANDICAP = 2;
/** Uranus and Neptune at their brightest, about: for the order of a short list only. From memory. */
const FAINT_PLANET_MAGNITUDE = 6;
/** Widths of the camera's field. Common practice, no source. */
const MOST_FIELDS = 3;
/** Windows cost most: no more are worked out for what is not up. */
const MOST_TRIED = 15;
/** Of one kind of object, so that a list shows variety; of stars and planets one. */
const MOST_OF_A_KIND = 2;

/** Where a target stands, and what is left for it tonight. */
export function prospectOf(target: Target, now: UtcMillis, observatory: Observatory): Prospect {
  const night = nightAt(now, observatory);
  const whole = wholeNight(target, night, observatory);
  const windows = remaining(whole.windows, now);
  const best =
    whole.best !== null && whole.best.unixMs >= now
      ? whole.best
      : bestIn(target, night, observatory, windows);
  return { target, altitudeDegrees: altitudeNow(target, night, now, observatory), windows, best };
}

/** Altitude as seen at an instant of a night. */
export function altitudeNow(target: Target, night: Night, now: UtcMillis, { site }: Observatory): Degrees {
  const known = tracksKept.get(target);
  const track =
    known?.night === night.date && known.site === site ? known.track : trackOf(target, night, site);
  if (track !== known?.track) tracksKept.set(target, { night: night.date, site, track });
  return apparentAltitude(horizontalOf(track, now).altitudeDegrees);
}

/** A place of date costs most of an altitude: kept for the night. */
const tracksKept = new WeakMap<
  Target,
  { readonly night: string; readonly site: Observatory["site"]; readonly track: Track }
>();

/** The instant from which a list of things to ask for holds: now, or dusk when it is still light; null after dawn. */
export function askableFrom(now: UtcMillis, observatory: Observatory): UtcMillis | null {
  const dark = darkHoursOf(nightAt(now, observatory), observatory).find((each) => each.closeUnixMs > now);
  return dark ? Math.max(now, dark.openUnixMs) : null;
}

/** The best things to ask for, high and bright first, of several kinds; all can be observed for an hour from then on. */
export function worthAsking(
  catalogue: Catalogue,
  now: UtcMillis,
  observatory: Observatory,
  most: number,
): readonly Prospect[] {
  const neverDark = darkHoursOf(nightAt(now, observatory), observatory).length === 0;
  const from = neverDark ? now : askableFrom(now, observatory);
  if (from === null) return [];
  const night = nightAt(from, observatory);
  const high = showpiecesOf(catalogue)
    .filter((target) => suitsField(target, observatory))
    .map((target) => ({ target, altitude: altitudeNow(target, night, from, observatory) }))
    .filter(({ altitude }) => altitude >= GOOD_ALTITUDE)
    .sort((a, b) => merit(b.target, b.altitude, from) - merit(a.target, a.altitude, from));
  const isOpen = (target: Target): boolean => staysOpen(wholeNight(target, night, observatory).windows, from);
  return varied(
    high.map(({ target }) => target),
    most,
    isOpen,
  ).map((target) => prospectOf(target, from, observatory));
}

/**
 * The best of some targets for a class: those that can be observed now or at dusk, high and bright first; where there are
 * none, those that can be later in the night, brightest first.
 */
export function worthAmong(
  targets: readonly Target[],
  now: UtcMillis,
  observatory: Observatory,
  most: number,
): { readonly now: readonly Prospect[]; readonly later: readonly Prospect[] } {
  const from = askableFrom(now, observatory) ?? now;
  const night = nightAt(from, observatory);
  const limit = observatory.limits.altitudeDegrees;
  const ordered = targets
    .map((target) => ({ target, altitude: altitudeNow(target, night, from, observatory) }))
    .sort((a, b) => merit(b.target, b.altitude, from) - merit(a.target, a.altitude, from));
  const high = ordered.filter(({ altitude }) => altitude >= limit).map(({ target }) => target);
  const open = firstOf(
    high,
    most,
    (target) => prospectOf(target, from, observatory),
    ({ windows }) => (windows[0]?.openUnixMs ?? from + 1) <= from,
  );
  if (open.length > 0) return { now: open, later: [] };
  const bright = [...ordered].sort((a, b) => merit(b.target, 0, from) - merit(a.target, 0, from));
  const all = bright.slice(0, MOST_TRIED).map(({ target }) => target);
  const later = firstOf(
    all,
    most,
    (target) => prospectOf(target, from, observatory),
    ({ windows }) => windows.length > 0,
  );
  return { now: [], later: [...later].sort((a, b) => opening(a) - opening(b)) };
}

function opening({ windows }: Prospect): UtcMillis {
  return windows[0]?.openUnixMs ?? Number.POSITIVE_INFINITY;
}

/** The first so many that pass: no more are made than that takes. */
function firstOf(
  targets: readonly Target[],
  most: number,
  make: (target: Target) => Prospect,
  passes: (prospect: Prospect) => boolean,
): Prospect[] {
  const found: Prospect[] = [];
  for (const target of targets) {
    const prospect = make(target);
    if (passes(prospect)) found.push(prospect);
    if (found.length === most) break;
  }
  return found;
}

/** Messier's objects please even in part; others should not be much larger than what the camera sees. */
function suitsField(target: Target, { camera }: Observatory): boolean {
  if (target.kind !== "fixed" || target.id.startsWith("M") || target.sizeArcminutes === null) return true;
  const { widthPixels, pixelMicrometres, focalLengthMillimetres } = camera;
  const fieldRadians = (widthPixels * pixelMicrometres) / 1000 / focalLengthMillimetres;
  return target.sizeArcminutes / 60 <= MOST_FIELDS * fieldRadians * DEGREES_PER_RADIAN;
}

function staysOpen(windows: readonly Window[], from: UtcMillis): boolean {
  return windows.some((each) => each.openUnixMs <= from && each.closeUnixMs >= from + HOUR);
}

/** High and bright, and known: the more the better. */
export function merit(target: Target, altitude: Degrees, from: UtcMillis): number {
  const listed =
    target.kind === "body" ? bodyMagnitude(target) : (magnitudeAt(target, from) ?? SHOWPIECE_MAGNITUDE);
  return Math.sin(altitude * RADIANS_PER_DEGREE) - SINE_PER_MAGNITUDE * (listed + handicap(target));
}

/** A star shows less in a picture than its magnitude says; what few have heard of comes after what many have. */
function handicap(target: Target): number {
  if (target.type === "double star") return DOUBLE_STAR_HANDICAP;
  if (target.type.endsWith("star")) return STAR_HANDICAP;
  return target.kind === "body" || target.id.startsWith("M") ? 0 : LESS_KNOWN_HANDICAP;
}

/** The two outer planets show a class little more than a star; the others please whatever their magnitude. */
function bodyMagnitude({ body }: BodyTarget): number {
  return body === "Uranus" || body === "Neptune" ? FAINT_PLANET_MAGNITUDE : 0;
}

/** Those that are open, in the same order, but no more than a few of each kind. Windows cost most: none is worked out in vain. */
function varied(targets: readonly Target[], most: number, isOpen: (target: Target) => boolean): Target[] {
  const kinds = new Map<string, number>();
  const chosen: Target[] = [];
  for (const target of targets) {
    const had = kinds.get(target.type) ?? 0;
    const single = target.kind === "body" || target.type === "double star";
    if (had >= (single ? 1 : MOST_OF_A_KIND) || !isOpen(target)) continue;
    kinds.set(target.type, had + 1);
    chosen.push(target);
    if (chosen.length === most) break;
  }
  return chosen;
}

/** Whether a target's windows of the night that an instant belongs to are known already. */
export function isProspectKept(target: Target, now: UtcMillis, observatory: Observatory): boolean {
  const night = nightAt(now, observatory);
  return nightsKept.get(observatory)?.has(`${night.date} ${target.id}`) === true;
}

type WholeNight = Pick<Prospect, "windows" | "best">;

/** The night's windows of what is asked for often, with the highest point in them, kept for the night. */
function wholeNight(target: Target, night: Night, observatory: Observatory): WholeNight {
  const nights = nightsKept.get(observatory) ?? new Map<string, WholeNight>();
  nightsKept.set(observatory, nights);
  const key = `${night.date} ${target.id}`;
  const found = nights.get(key);
  if (found) return found;
  if (nights.size > 1000) nights.clear();
  const windows = windowsOf(target, night, observatory);
  const made = { windows, best: bestIn(target, night, observatory, windows) };
  nights.set(key, made);
  return made;
}

const nightsKept = new WeakMap<Observatory, Map<string, WholeNight>>();

/** Planets, the Moon, and the bright part of the well-known lists. */
export const showpiecesOf = remembering(2, (catalogue: Catalogue): readonly Target[] => {
  const wellKnown = new Set(wellKnownNames().map((name) => catalogue.lookUp(name).found?.id));
  return catalogue.targets.filter((target) => {
    if (target.kind === "body") return target.body !== "Pluto";
    if (target.kind === "orbit") return false;
    const { magnitude, type } = target;
    if (magnitude === null) return false;
    if (type === "double star") return magnitude <= SHOWPIECE_STAR_MAGNITUDE;
    return wellKnown.has(target.id) && magnitude <= SHOWPIECE_MAGNITUDE;
  });
});

/** All of Messier and Caldwell: most Caldwell objects go by their NGC numbers in the catalogue. */
function wellKnownNames(): string[] {
  const numbered = (letter: string, last: number): string[] =>
    Array.from({ length: last }, (_, index) => `${letter}${index + 1}`);
  return [...numbered("M", 110), ...numbered("C", 109)];
}
