/** When it is dark tonight, in words; and nights in which nothing can be observed at all. */
import { clockTime, dayOf, type Phrase, say, strong } from "../../base/phrase.js";
import type { UtcMillis } from "../../base/units.js";
import { timeFrom } from "../../notices/words/times.js";
import { nightSkyOf } from "../../observatory/night-sky.js";
import type { Observatory } from "../../observatory/observatory.js";
import type { Interval } from "../../sky/interval.js";
import { type Night, nightOf } from "../../sky/night.js";
import { TWILIGHT_DEGREES, whileSunBelow } from "../../sky/twilight.js";
import { darkHoursOf } from "../plan/sky-view.js";

/** A year of nights: by then it has been dark everywhere on Earth. */
const NIGHTS_AHEAD = 366;

/** A night that is too bright even for planets and bright stars. */
export interface BrightNight {
  /** Whether the Sun sets at least. */
  readonly sunSets: boolean;
  /** When bright targets are next possible; null when not within a year. */
  readonly nextUnixMs: UtcMillis | null;
}

/** null when something can be observed in the night. */
export function brightNight(night: Night, observatory: Observatory): BrightNight | null {
  if (nightSkyOf(night, observatory).dusky.length > 0) return null;
  const { site, limits } = observatory;
  let later = night;
  let nextUnixMs: UtcMillis | null = null;
  for (let count = 0; count < NIGHTS_AHEAD && nextUnixMs === null; count++) {
    later = nightOf(later.endUnixMs, site.timeZone);
    nextUnixMs = whileSunBelow(limits.brightSunAltitudeDegrees, later, site)[0]?.openUnixMs ?? null;
  }
  return { sunSets: whileSunBelow(TWILIGHT_DEGREES.sunset, night, site).length > 0, nextUnixMs };
}

/** "The Sun does not set tonight; nothing can be observed before Sat 15 Aug." */
export function brightNightPhrase({ sunSets, nextUnixMs }: BrightNight, { limits }: Observatory): Phrase {
  const limit = Math.abs(limits.brightSunAltitudeDegrees);
  const sun = sunSets
    ? `The Sun stays less than ${limit}° below the horizon tonight`
    : "The Sun does not set tonight";
  return nextUnixMs === null
    ? say`${strong(sun)}; nothing can be observed.`
    : say`${strong(sun)}; nothing can be observed before ${dayOf(nextUnixMs)}.`;
}

/** When it is dark tonight, as seen from `now`. */
export function darkPhrase(night: Night, now: UtcMillis, observatory: Observatory): Phrase {
  if (observatory.limits.sunAltitudeDegrees > 0) {
    return say`${strong("By day too")}: this telescope takes requests whatever the Sun does, to show what it does to a frame.`;
  }
  const tooBright = brightNight(night, observatory);
  if (tooBright) return brightNightPhrase(tooBright, observatory);
  const dark = darkHoursOf(night, observatory);
  const limit = Math.abs(observatory.limits.sunAltitudeDegrees);
  if (dark.some((each) => isWhole(each, night))) {
    return say`${strong("Dark all night")}, the Sun being ${limit}° or more below the horizon.`;
  }
  const left = dark.find((each) => each.closeUnixMs > now);
  if (left) {
    const start = left.openUnixMs > now ? say` from ${clockTime(left.openUnixMs)}` : say` now,`;
    return say`${strong("Dark")}${start} until ${clockTime(left.closeUnixMs)}, the Sun being ${limit}° or more below the horizon.`;
  }
  if (dark.length === 0) {
    return say`${strong("It does not get dark tonight")}: the Sun stays less than ${limit}° below the horizon. ${twilightPhrase(night, now, observatory)}`;
  }
  const next = darkHoursOf(nightOf(night.endUnixMs, observatory.site.timeZone), observatory)[0];
  return next
    ? say`${strong("This night's dark hours are over")}; the next begin ${timeFrom(next.openUnixMs, now)}.`
    : say`${strong("This night's dark hours are over")}, and the next night does not get dark.`;
}

/** What planets, the Moon and bright stars have instead of the dark. */
function twilightPhrase(night: Night, now: UtcMillis, observatory: Observatory): Phrase {
  const { dusky } = nightSkyOf(night, observatory);
  if (dusky.some((each) => isWhole(each, night))) return say`Bright targets are possible all night.`;
  const left = dusky.find((each) => each.closeUnixMs > now);
  if (!left) return say`Its hours for bright targets are over too.`;
  const start = left.openUnixMs > now ? say` from ${clockTime(left.openUnixMs)}` : say` now,`;
  return say`Bright targets are possible${start} until ${clockTime(left.closeUnixMs)}.`;
}

/** From noon to noon, as in the polar night. */
function isWhole({ openUnixMs, closeUnixMs }: Interval, { startUnixMs, endUnixMs }: Night): boolean {
  return openUnixMs <= startUnixMs && closeUnixMs >= endUnixMs;
}
