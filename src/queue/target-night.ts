/** One target's night: its way across the sky and when it may be observed, worked out once and kept. */

import type { Observatory, Window } from "../observatory/observatory.js";
import { windowsOf } from "../observatory/window.js";
import { type Night, nightOf } from "../sky/night.js";
import type { Target } from "../sky/target.js";
import { type Track, trackOf } from "../sky/track.js";

export interface TargetNight {
  readonly target: Target;
  readonly track: Track;
  /** In order, apart from one another, whole milliseconds. */
  readonly windows: readonly Window[];
}

/** Looks a target's night up, working it out at the first asking. */
export type TargetNights = (target: Target) => TargetNight;

/** Tonight, the nights of a week's outlook, and some to spare. */
const NIGHTS_KEPT = 12;

const kept = new WeakMap<Observatory, Map<string, TargetNights>>();

/** The nights of all targets in the night that contains an instant; kept for as long as the observatory object is. */
export function targetNights(unixMs: number, observatory: Observatory): TargetNights {
  const night = nightOf(unixMs, observatory.site.timeZone);
  const nights = kept.get(observatory) ?? new Map<string, TargetNights>();
  kept.set(observatory, nights);
  const found = nights.get(night.date);
  if (found) return found;
  const made = keepingNights(night, observatory);
  nights.set(night.date, made);
  if (nights.size > NIGHTS_KEPT) nights.delete(nights.keys().next().value as string);
  return made;
}

function keepingNights(night: Night, observatory: Observatory): TargetNights {
  const byId = new Map<string, TargetNight[]>();
  return (target) => {
    const sameId = byId.get(target.id) ?? [];
    const found = sameId.find((known) => samePlace(known.target, target));
    if (found) return found;
    const made = workOut(target, night, observatory);
    byId.set(target.id, [...sameId, made]);
    return made;
  };
}

/** Two positions may round to one id and still differ. */
function samePlace(a: Target, b: Target): boolean {
  if (a === b) return true;
  if (a.kind === "orbit" && b.kind === "orbit") return a.orbit.epochJulianDate === b.orbit.epochJulianDate;
  if (a.kind !== "fixed" || b.kind !== "fixed") return a.kind === b.kind;
  return a.raDegrees === b.raDegrees && a.decDegrees === b.decDegrees;
}

function workOut(target: Target, night: Night, observatory: Observatory): TargetNight {
  return {
    target,
    track: trackOf(target, night, observatory.site),
    windows: windowsOf(target, night, observatory),
  };
}
