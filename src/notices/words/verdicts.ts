/** What a frame shows and why, from the evidence kept with it. */

import { count } from "../../base/english.js";
import { clockTime, type Phrase, say } from "../../base/phrase.js";
import type { UtcMillis } from "../../base/units.js";
import type { Verdict } from "../../journal/events.js";
import { degrees, seconds } from "./amounts.js";

type Spoilt = Exclude<Verdict, { is: "usable" }>;

/** "usable: 143 stars seen"; "black: the Sun was up, 12° above the horizon at mid-exposure". */
export function verdictWords(verdict: Verdict): string {
  if (verdict.is === "usable") return usableWords(verdict);
  return `${verdict.is}: ${reasonWords(verdict)}`;
}

/** Above this share of saturated pixels a frame is overexposed as a whole, not at a few stars. */
const OVEREXPOSED_SHARE = 0.01;

function percent(share: number): number {
  return Math.max(1, Math.round(share * 100));
}

function usableWords({
  starsSeen,
  saturatedShare = 0,
  fwhmArcseconds,
}: Extract<Verdict, { is: "usable" }>): string {
  if (saturatedShare > OVEREXPOSED_SHARE) {
    return `usable, but overexposed: ${percent(saturatedShare)} % of the pixels are full; ask for a shorter exposure`;
  }
  const width = fwhmArcseconds === undefined ? "" : `, ${fwhmArcseconds.toFixed(1)}″ wide`;
  return starsSeen === 0
    ? "usable: light well above the noise"
    : `usable: ${count(starsSeen, "star")} seen${width}`;
}

/**
 * What to do next about a spoilt frame, one sentence.
 * @param darkUnixMs when the Sun is next low enough for the target; null when not within a day
 */
export function adviceFor(verdict: Spoilt, darkUnixMs: UtcMillis | null): Phrase {
  switch (verdict.because) {
    case "sun-up":
      return darkUnixMs === null
        ? say`It does not get dark enough for this target within a day: ask again on a darker night.`
        : say`Ask again after dusk at ${clockTime(darkUnixMs)}.`;
    case "cloud":
      return say`Ask again when the sky has cleared; /tonight shows the conditions.`;
    case "dome-shut":
      return say`Tell the operator, and ask again once the dome is open.`;
    case "slit-away":
      return say`Tell the operator, and ask again once the dome follows the telescope.`;
    case "no-camera":
      return say`Ask again once the camera is back; /tonight shows whether it is.`;
    case "too-short":
      return say`Ask for ${lengthEnough(verdict)}.`;
    case "no-light":
      return say`Tell the operator: the cap may be on, or the dome's slit not over the tube. Ask again once it is mended.`;
    case "over-exposed":
      return say`Ask for a shorter exposure, or a filter that lets less light through.`;
    case "off-target":
    case "trailed":
      return say`Tell the operator, who can mend the pointing or the tracking, and ask again then.`;
    case "out-of-focus":
      return say`Tell the operator, who can focus, and ask again then.`;
    case "unknown":
      return say`Show it to the instructor or the operator before asking again.`;
  }
}

function reasonWords(verdict: Spoilt): string {
  const { starsSeen, starsExpected, medianAdu } = verdict;
  const evidence =
    starsExpected === 0
      ? `${count(starsSeen, "star")} seen, none expected`
      : `${starsSeen} of ${count(starsExpected, "expected star")} seen`;
  switch (verdict.because) {
    case "sun-up":
      return sunWords(verdict.sunAltitudeDegrees);
    case "cloud":
      return `cloud, ${evidence}`;
    case "dome-shut":
      return `the dome was shut, ${evidence}`;
    case "no-camera":
      return verdict.is === "synthetic"
        ? "no camera is fitted, so the picture was computed and not taken"
        : "no camera was read out, for the pixels have not even read noise";
    case "slit-away":
      return `the dome's slit stood ${degrees(verdict.slitOffDegrees ?? 0)} from where the telescope looked`;
    case "too-short":
      return `too short, ${shortWords(verdict)}`;
    case "no-light":
      return `no light reached the camera, only bias level and read noise (middle pixel value ${Math.round(medianAdu)} ADU)`;
    case "over-exposed":
      if (verdict.saturatedDisc !== undefined)
        return `over-exposed, ${percent(verdict.saturatedDisc)} % of the disc is full`;
      return `over-exposed, ${percent(verdict.saturatedShare ?? 1)} % of the pixels are full`;
    case "off-target":
      return `${(verdict.offDegrees ?? 0).toFixed(2)}° off, so the target is outside the field`;
    case "trailed":
      return `trailed, the stars ${(verdict.elongation ?? 0).toFixed(1)} times as long as wide`;
    case "out-of-focus":
      return `out of focus, the stars ${(verdict.fwhmArcseconds ?? 0).toFixed(1)}″ wide`;
    case "unknown":
      return `the cause is not known (${evidence}, middle pixel value ${Math.round(medianAdu)} ADU)`;
  }
}

/** With more expected than this, cloud may be the cause as well. */
const FEW_STARS = 3;

/** "in 0.01 s nothing here is bright enough to show". */
function shortWords({ exposureSeconds, starsExpected, starsSeen }: Spoilt): string {
  const time = exposureSeconds === undefined ? "this time" : seconds(exposureSeconds);
  if (starsExpected > FEW_STARS) {
    return `in ${time} too little shows to tell a clear sky from cloud, ${starsSeen} of ${starsExpected} expected stars seen`;
  }
  return `in ${time} ${starsExpected === 0 ? "nothing" : "hardly anything"} here is bright enough to show`;
}

function lengthEnough({ enoughSeconds }: Spoilt): string {
  return enoughSeconds === undefined ? "a longer exposure" : seconds(enoughSeconds);
}

function sunWords(altitudeDegrees: number): string {
  return altitudeDegrees >= 0
    ? `the Sun was up, ${degrees(altitudeDegrees)} above the horizon at mid-exposure`
    : `it was not dark yet, the Sun only ${degrees(altitudeDegrees)} below the horizon at mid-exposure`;
}
