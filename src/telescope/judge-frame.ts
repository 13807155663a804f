/** Looks at a frame's pixels and says what they show: for frames from any telescope. */
import type { Degrees } from "../base/units.js";
import type { Equipment, Verdict } from "../journal/events.js";
import { saturationElectrons } from "../observatory/photometry.js";
import { detectStars } from "./detect-stars.js";
import { expectedStars, type FrameCircumstances, limitingMagnitude } from "./expected-stars.js";
import type { PixelImage } from "./fits.js";
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

/** Measures the pixels, counts the stars, and weighs them against what a clear sky would show. */
export function judgeFrame(image: PixelImage, surroundings: FrameSurroundings): Verdict {
  const { camera, equipment, sunAltitudeDegrees, moonInFrame } = surroundings;
  const { biasAdu, gainElectronsPerAdu } = camera;
  const full = biasAdu + (NEARLY_FULL * saturationElectrons(camera)) / gainElectronsPerAdu;
  const statistics = pixelStatistics(image, full);
  const starsSeen = moonInFrame ? 0 : detectStars(image, { ...statistics, gainElectronsPerAdu }).length;
  const starsExpected = moonInFrame ? 0 : expectedStars(surroundings, statistics);
  const { targetMagnitude } = surroundings;
  const targetUnmissable =
    targetMagnitude !== null && targetMagnitude + UNMISSABLE_BY < limitingMagnitude(surroundings, statistics);
  return verdictOn(
    {
      ...statistics,
      pixels: image.pixels.length,
      starsSeen,
      starsExpected,
      targetUnmissable,
      sunAltitudeDegrees,
      equipment,
    },
    camera,
  );
}
