/** Looks at a frame's pixels and says what they show: for frames from any telescope. */
import type { Degrees, Seconds } from "../../base/units.js";
import type { Equipment, Verdict } from "../../journal/events.js";
import { slitHalfWidthDegrees } from "../../observatory/dome.js";
import type { Dome } from "../../observatory/observatory.js";
import {
  pixelScaleArcseconds,
  saturationElectrons,
  seeingAtAirmass,
  skyElectronsPerSecond,
} from "../../observatory/photometry.js";
import { detectStars } from "./detect-stars.js";
import { expectedStars, type FrameCircumstances, limitingMagnitude } from "./expected-stars.js";
import { type PixelImage, type PixelStatistics, pixelStatistics } from "./pixel-statistics.js";
import { type StarShapes, starShapes } from "./star-shapes.js";
import { type MeasuredStars, type StarLimits, verdictOn } from "./verdict.js";
import { apartDegrees, type WorldCoordinates } from "./world-coordinates.js";

export interface FrameSurroundings extends FrameCircumstances {
  /** At mid-exposure. */
  readonly sunAltitudeDegrees: Degrees;
  /** As reported for the time of the exposure. */
  readonly equipment: Equipment;
  /** Whether the pixels were computed. */
  readonly simulated: boolean;
  /** Of a target that is a star, a planet or the Moon; null for one without a sharp light of its own. */
  readonly targetMagnitude: number | null;
  /** The Moon fills the frame: its craters are not counted as stars. */
  readonly moonInFrame: boolean;
  /** Across the disc of a planet or the Moon; null for a target that is none. */
  readonly discArcseconds: number | null;
  /** Of the frame's header; null where it has none. */
  readonly world: WorldCoordinates | null;
  readonly dome: Dome | null;
  /** From where the dome's slit had to face to where it stood; null where that is not known. */
  readonly slitOffDegrees: Degrees | null;
  /** Stars of this night's usable frames so far, median; null for too few frames. */
  readonly usualFwhmArcseconds: number | null;
  readonly limits: ConfiguredLimits;
}

/** As configured; null: by what is usual. */
export interface ConfiguredLimits {
  readonly trailedElongation: number | null;
  readonly outOfFocusArcseconds: number | null;
}

/** Without a configured limit: stars longer than wide by this factor are trailed (common practice, no source). */
const TRAILED = 1.5;
/** Wider than the night's median by this factor, or before there is one than the site's seeing, they are out of focus. */
const BEYOND_MEDIAN = 2;
const BEYOND_SEEING = 3;

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
  const limits = limitsOf(surroundings);
  const shapes = moonInFrame ? null : starShapes(image, statistics.noiseAdu, full);
  const stars = shapes && measuredOf(shapes, surroundings);
  const peaks = moonInFrame ? 0 : detectStars(image, { ...statistics, gainElectronsPerAdu }).length;
  // Wide or long images have many peaks or none.
  const misshapen =
    stars && (stars.fwhmArcseconds > limits.fwhmArcseconds || stars.elongation > limits.elongation);
  const starsSeen = misshapen && shapes ? shapes.count : peaks;
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
      simulated: surroundings.simulated,
      ...darkLevels(surroundings),
      slitOffDegrees: slitAway(surroundings),
      saturatedDisc: saturatedDisc(image, statistics, surroundings),
      stars,
      offDegrees: offTarget(image, surroundings),
    },
    camera,
    limits,
  );
}

function limitsOf(surroundings: FrameSurroundings): StarLimits {
  const { camera, airmass, usualFwhmArcseconds } = surroundings;
  const { trailedElongation, outOfFocusArcseconds } = surroundings.limits;
  const usual =
    usualFwhmArcseconds === null
      ? BEYOND_SEEING * Math.max(seeingAtAirmass(camera, airmass), pixelScaleArcseconds(camera))
      : BEYOND_MEDIAN * usualFwhmArcseconds;
  return { elongation: trailedElongation ?? TRAILED, fwhmArcseconds: outOfFocusArcseconds ?? usual };
}

function measuredOf(
  { fwhmPixels, elongation, alignment }: StarShapes,
  { world, camera }: FrameSurroundings,
): MeasuredStars {
  const arcsecondsPerPixel = world?.arcsecondsPerPixel ?? pixelScaleArcseconds(camera);
  return { fwhmArcseconds: fwhmPixels * arcsecondsPerPixel, elongation, alignment };
}

/** What a clear sky and the camera's own current add to a pixel, ADU. */
function darkLevels({ camera, filter, skyMagnitude, exposureSeconds }: FrameSurroundings) {
  const { gainElectronsPerAdu, darkElectronsPerSecond } = camera;
  const adu = (perSecond: number): number => (perSecond * exposureSeconds) / gainElectronsPerAdu;
  return {
    skyExpectedAdu: adu(skyElectronsPerSecond(filter, camera, skyMagnitude)),
    darkAdu: adu(darkElectronsPerSecond),
  };
}

/** null where the tube looks out through the slit, there is none, or nobody knows. */
function slitAway({ dome, slitOffDegrees }: FrameSurroundings): Degrees | null {
  if (dome === null || slitOffDegrees === null) return null;
  return Math.abs(slitOffDegrees) > slitHalfWidthDegrees(dome) ? slitOffDegrees : null;
}

/** Smaller ones are as a star is: a few full pixels in the middle. */
const LEAST_DISC_PIXELS = 50;

/** Share of the disc's area, as far as it is in the frame, that is full; null without a disc. */
function saturatedDisc(
  { pixels }: PixelImage,
  { saturatedShare }: PixelStatistics,
  { discArcseconds, camera, world }: FrameSurroundings,
): number | null {
  if (discArcseconds === null) return null;
  const across = discArcseconds / (world?.arcsecondsPerPixel ?? pixelScaleArcseconds(camera));
  const area = Math.min(pixels.length, (Math.PI * across * across) / 4);
  return area < LEAST_DISC_PIXELS ? null : Math.min(1, (saturatedShare * pixels.length) / area);
}

/** null when the target is in the field, or the header does not say where the field is. */
function offTarget({ width, height }: PixelImage, { world, ...target }: FrameSurroundings): Degrees | null {
  if (world === null) return null;
  const place = world.toPixel(target);
  const within = place && place.x >= 0 && place.y >= 0 && place.x <= width - 1 && place.y <= height - 1;
  return within ? null : apartDegrees(world.toSky({ x: (width - 1) / 2, y: (height - 1) / 2 }), target);
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
