/** Whether a frame is usable, and if not, why: from evidence that any telescope can give. */
import type { Degrees, Seconds } from "../../base/units.js";
import type { Equipment, Verdict } from "../../journal/events.js";
import { TOO_BRIGHT_SUN } from "../../observatory/celestial-limits.js";
import type { Camera } from "../../observatory/observatory.js";
import type { PixelStatistics } from "./pixel-statistics.js";

export interface FrameEvidence extends PixelStatistics {
  readonly pixels: number;
  readonly starsSeen: number;
  /** What a clear sky would show: `expectedStars`. */
  readonly starsExpected: number;
  /** The target alone, a bright star or planet, would show in a clear sky. */
  readonly targetUnmissable: boolean;
  readonly exposureSeconds: Seconds;
  /** A greater length in which enough would show to tell; null when none would. */
  readonly enoughSeconds: Seconds | null;
  /** At mid-exposure. */
  readonly sunAltitudeDegrees: Degrees;
  /** As reported for the time of the exposure. */
  readonly equipment: Equipment;
  /** The pixels were computed: without a camera they are no evidence. */
  readonly simulated: boolean;
  /** What a clear sky would add to every pixel in the time, ADU. */
  readonly skyExpectedAdu: number;
  /** What the camera's own current adds, ADU. */
  readonly darkAdu: number;
  /** From where the dome's slit had to face to where it stood, where the tube did not look through it; else null. */
  readonly slitOffDegrees: Degrees | null;
  /** Share of a planet's or the Moon's disc that is full; null without a disc. */
  readonly saturatedDisc: number | null;
  /** null where too few stars stood alone. */
  readonly stars: MeasuredStars | null;
  /** From the frame's middle to the target, where its header tells; null also when the target is in the field. */
  readonly offDegrees: Degrees | null;
}

/** Medians over the stars that stand alone. */
export interface MeasuredStars {
  readonly fwhmArcseconds: number;
  /** Long axis over short axis. */
  readonly elongation: number;
  /** How far the long axes agree, 0 to 1. */
  readonly alignment: number;
}

/** Beyond these, stars are trailed, or out of focus. */
export interface StarLimits {
  readonly elongation: number;
  readonly fwhmArcseconds: number;
}

/** More of the pixels full than this: nothing can be measured on it. */
const OVER_EXPOSED = 0.25;
/** Of a disc: no more of it than this may be full. */
const DISC_FULL = 0.25;
/** Less scatter than this share of the camera's read noise: no camera made these pixels (common practice, no source). */
const LEAST_READ_NOISE = 0.25;
/** A read noise that rounding does not hide, ADU. */
const TELLING_READ_NOISE = 1;
/** Long axes that agree less are pairs of stars or bad optics, and no trail. */
const ALIGNED = 0.5;
/** Thick cloud dims the sky's glow to no less than this share at a dark site; a covered camera gets none. */
const LEAST_GLOW = 0.06;
/** Such a glow must be this much to be told from a drift of the bias level, ADU (common practice, no source). */
const BIAS_DRIFT = 10;

/** Star counts are good to a factor of two; a fifth of the expected is still a clear enough sky. */
const ENOUGH_STARS = 0.2;
/** Fewer than the expected stars by this factor are there in the poorest of clear skies: counts scatter, and air dims. */
const POOREST_CLEAR = 0.4;
/** Stars are missing when so few would be seen in that sky less often than this. */
const MISSED_BY_CHANCE = 0.001;
/** Pixels that one star lights up, and how many more make something extended. */
const PIXELS_PER_STAR = 150;
const EXTENDED_PIXELS = 400;
/** More scatter than the CCD equation allows by this factor: the frame is full of something, such as the Moon. */
const STRUCTURE = 3;

/**
 * The verdict, by the strongest evidence first.
 *
 * 1. No camera was fitted and the frame is simulated: whatever its pixels hold, no light made them.
 * 2. The pixels show stars or something extended: whatever was reported about dome and sky, light came in. It is
 *    usable unless it is full, lies beside its target, or its stars are trailed or out of focus.
 * 3. The Sun was up, computed and so beyond doubt. It comes before the dome: a dome is shut by day, and
 *    opening it would not have helped.
 * 4. The pixels have not even the camera's read noise: whatever sent them, no camera was read out.
 * 5. The dome was not open, as reported: shut, or at fault and in the way; or its slit stood elsewhere.
 * 6. Not even the glow of a clouded sky is there: no light came in.
 * 7. Stars or a bright target are missing that a clear sky would show, or cloud was reported: cloud. Stars fall
 *    into a field by chance (Poisson), so that of a few expected ones all may be absent from a clear sky.
 * 8. Too little could show in the time, and more would in a longer one: too short.
 * 9. Otherwise the cause is not known.
 */
export function verdictOn(evidence: FrameEvidence, camera: Camera, limits: StarLimits): Verdict {
  const { equipment, sunAltitudeDegrees, medianAdu, starsExpected, starsSeen, saturatedShare } = evidence;
  const spoilt = { sunAltitudeDegrees, medianAdu, starsExpected, starsSeen };
  if (evidence.simulated && equipment.camera !== "fitted")
    return { is: "synthetic", because: "no-camera", ...spoilt };
  const tooBright = sunAltitudeDegrees > TOO_BRIGHT_SUN;
  if (showsSomething(evidence, camera) && !(tooBright && saturatedShare > 0.5)) {
    const flaw = flawOf(evidence, limits);
    if (flaw) return { is: "spoilt", ...spoilt, ...flaw };
    const backgroundElectrons = Math.round((medianAdu - camera.biasAdu) * camera.gainElectronsPerAdu);
    const { stars } = evidence;
    const measured = stars ? { fwhmArcseconds: stars.fwhmArcseconds } : {};
    return { is: "usable", starsSeen, backgroundElectrons, saturatedShare, ...measured };
  }
  if (tooBright) return { is: "black", because: "sun-up", ...spoilt };
  if (isWithoutNoise(evidence, camera)) return { is: "black", because: "no-camera", ...spoilt };
  if (equipment.dome !== "open") return { is: "black", because: "dome-shut", ...spoilt };
  const { slitOffDegrees } = evidence;
  if (slitOffDegrees !== null) return { is: "black", because: "slit-away", ...spoilt, slitOffDegrees };
  if (isWithoutLight(evidence, camera)) return { is: "black", because: "no-light", ...spoilt };
  const missing = starsMissing(evidence) || (evidence.targetUnmissable && starsSeen === 0);
  if (missing || equipment.sky === "cloud") return { is: "black", because: "cloud", ...spoilt };
  const { exposureSeconds, enoughSeconds } = evidence;
  if (enoughSeconds !== null) {
    return { is: "black", because: "too-short", ...spoilt, exposureSeconds, enoughSeconds };
  }
  return { is: "black", because: "unknown", ...spoilt };
}

type Flaw = Pick<
  Exclude<Verdict, { is: "usable" }>,
  "because" | "saturatedShare" | "saturatedDisc" | "offDegrees" | "elongation" | "fwhmArcseconds"
>;

/** What spoils a frame that light has reached: what is surest first. */
function flawOf(evidence: FrameEvidence, limits: StarLimits): Flaw | null {
  const { saturatedShare, saturatedDisc, offDegrees, stars } = evidence;
  if (saturatedDisc !== null && saturatedDisc > DISC_FULL)
    return { because: "over-exposed", saturatedShare, saturatedDisc };
  if (saturatedShare > OVER_EXPOSED) return { because: "over-exposed", saturatedShare };
  if (offDegrees !== null) return { because: "off-target", offDegrees };
  if (stars === null) return null;
  const { fwhmArcseconds, elongation, alignment } = stars;
  if (elongation > limits.elongation && alignment > ALIGNED)
    return { because: "trailed", elongation, fwhmArcseconds };
  return fwhmArcseconds > limits.fwhmArcseconds ? { because: "out-of-focus", fwhmArcseconds } : null;
}

/** As a program's stand-in for a camera sends them. */
function isWithoutNoise({ noiseAdu }: FrameEvidence, camera: Camera): boolean {
  const readNoiseAdu = camera.readNoiseElectrons / camera.gainElectronsPerAdu;
  return readNoiseAdu >= TELLING_READ_NOISE && noiseAdu < LEAST_READ_NOISE * readNoiseAdu;
}

/** Bias level and read noise only, where a sky, however clouded, would show. */
function isWithoutLight(evidence: FrameEvidence, camera: Camera): boolean {
  const { starsSeen, medianAdu, skyExpectedAdu, darkAdu } = evidence;
  const glow = LEAST_GLOW * skyExpectedAdu;
  const light = medianAdu - camera.biasAdu - darkAdu;
  return starsSeen === 0 && glow > BIAS_DRIFT && light < glow / 2;
}

/** Enough stars, or light beyond what the stars account for. */
function showsSomething(evidence: FrameEvidence, camera: Camera): boolean {
  const { starsSeen, starsExpected, brightShare, saturatedShare, pixels } = evidence;
  if (starsSeen >= 1 && (starsSeen >= ENOUGH_STARS * starsExpected || !starsMissing(evidence))) return true;
  const extended = brightShare * pixels - starsSeen * PIXELS_PER_STAR;
  if (extended > EXTENDED_PIXELS || saturatedShare * pixels > EXTENDED_PIXELS) return true;
  return evidence.noiseAdu > STRUCTURE * evenNoiseAdu(evidence.medianAdu, camera);
}

/** Too few for chance, even in a poor field. */
function starsMissing({ starsSeen, starsExpected }: FrameEvidence): boolean {
  return poissonAtMost(starsSeen, POOREST_CLEAR * starsExpected) < MISSED_BY_CHANCE;
}

/** The chance of at most `count` where `mean` are expected (Poisson distribution). */
function poissonAtMost(count: number, mean: number): number {
  if (mean === 0) return 1;
  let logTerm = -mean;
  let sum = Math.exp(logTerm);
  for (let each = 1; each <= count; each++) {
    logTerm += Math.log(mean / each);
    sum += Math.exp(logTerm);
  }
  return Math.min(1, sum);
}

/** Scatter of an evenly lit frame at this level: photon and read noise (the CCD equation), and rounding. */
function evenNoiseAdu(medianAdu: number, camera: Camera): number {
  const { biasAdu, gainElectronsPerAdu, readNoiseElectrons } = camera;
  const electrons = Math.max(0, medianAdu - biasAdu) * gainElectronsPerAdu;
  return Math.sqrt((electrons + readNoiseElectrons ** 2) / gainElectronsPerAdu ** 2 + 1 / 12);
}
