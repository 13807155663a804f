/** Looks at a frame's pixels and says what they show: for frames from any telescope. */
import type { Degrees, Seconds } from "../../base/units.js";
import type { Equipment, Verdict } from "../../journal/events.js";
import { saturationElectrons } from "../../observatory/photometry.js";
import { detectStars } from "./detect-stars.js";
import { expectedStars, type FrameCircumstances, limitingMagnitude } from "./expected-stars.js";
import type { PixelImage } from "./pixel-statistics.js";
import { pixelStatistics } from "./pixel-statistics.js";
import { verdictOn } from "./verdict.js";

export interface FrameSurroundings extends FrameCircumstances {
  /** At mid-exposure. */
  readonly sunAltitudeDegrees: Degrees;
  /** As reported for the time of the exposure. */
  readonly equipment: Equipment;
  /** Of a target that is a star, a planet or the Moon; null for one without a sharp light of its own. */
  readonly targetMagnitude: number | null;
  /** The Moon fills the frame: its craters are not counted as stars. */
  readonly moonInFrame: boolean;
}

/** A hair below the top of the scale counts as the top: read noise pulls full pixels down. */
const NEARLY_FULL = 0.99;
/** A target brighter than the faintest detected star by this many magnitudes shows in any clear sky. */
const UNMISSABLE_BY = 3;

/** Lengths that are proposed, seconds: for what has a sharp light of its own, and for everything else. */
const SHARP_LENGTHS = [0.1, 0.5, 1, 5, 20, 60] as const;
const USUAL_LENGTHS = [20, 60, 120, 300] as const;
/** So many expected stars tell a clear sky from any other. */
const TELLING_STARS = 20;

/** Measures the pixels, counts the stars, and weighs them against what a clear sky would show. */
export function judgeFrame(image: PixelImage, surroundings: FrameSurroundings): Verdict {
  const { camera, equipment, sunAltitudeDegrees, moonInFrame } = surroundings;
  const { biasAdu, gainElectronsPerAdu } = camera;
  const full = biasAdu + (NEARLY_FULL * saturationElectrons(camera)) / gainElectronsPerAdu;
  const statistics = pixelStatistics(image, full);
  const starsSeen = moonInFrame ? 0 : detectStars(image, { ...statistics, gainElectronsPerAdu }).length;
  const starsExpected = moonInFrame ? 0 : expectedStars(surroundings, statistics);
  const { targetMagnitude } = surroundings;
  const limit = limitingMagnitude(surroundings, statistics);
  const targetUnmissable = isUnmissable(targetMagnitude, limit);
  return verdictOn(
    {
      ...statistics,
      pixels: image.pixels.length,
      starsSeen,
      starsExpected,
      targetUnmissable,
      exposureSeconds: surroundings.exposureSeconds,
      enoughSeconds: enoughSeconds(surroundings),
      sunAltitudeDegrees,
      equipment,
    },
    camera,
  );
}

function isUnmissable(magnitude: number | null, limitingMagnitude: number): boolean {
  return magnitude !== null && magnitude + UNMISSABLE_BY < limitingMagnitude;
}

/** The shortest of the lengths proposed, longer than this exposure, in which a clear sky shows enough; null for none. */
function enoughSeconds(surroundings: FrameSurroundings): Seconds | null {
  const { exposureSeconds, targetMagnitude, moonInFrame } = surroundings;
  if (moonInFrame) return null;
  const lengths = targetMagnitude === null ? USUAL_LENGTHS : SHARP_LENGTHS;
  const shows = (length: Seconds): boolean => {
    const longer = { ...surroundings, exposureSeconds: length };
    return targetMagnitude === null
      ? expectedStars(longer) >= TELLING_STARS
      : isUnmissable(targetMagnitude, limitingMagnitude(longer));
  };
  return lengths.find((length) => length > exposureSeconds && shows(length)) ?? null;
}
