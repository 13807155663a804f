/** Makes the practice telescope's frames: the light that falls on the camera, then the camera itself. */
import { seededRandom } from "../../base/random.js";
import type { Degrees } from "../../base/units.js";
import { lineMagnitude } from "../../observatory/glow/emission-lines.js";
import type { Camera, Filter } from "../../observatory/observatory.js";
import { skyElectronsPerSecond, starElectronsPerSecond } from "../../observatory/photometry.js";
import type { ListedStar, StarList } from "../../sky/load-stars.js";
import type { Target } from "../../sky/target.js";
import { type Circumstances, circumstancesOf, type Exposure } from "../frames/exposure.js";
import type { Card } from "../frames/fits-cards.js";
import type { PixelImage } from "../frames/pixel-statistics.js";
import { type BodyView, viewOf } from "./draw/body-view.js";
import { seedOf } from "./draw/brush.js";
import { drawTarget } from "./draw/target.js";
import { readOut } from "./exposure-noise.js";
import { type Field, fieldOf, fieldRadiusDegrees, toPixel } from "./field.js";
import { inventedStars } from "./field-stars.js";
import { frameCards } from "./frame-cards.js";
import { addStar, evenLight, type Light } from "./image.js";

/** How to simulate an exposure. */
export interface Simulation {
  /** How much cloud dims what is above it, magnitudes. */
  readonly cloudMagnitudes: number;
  /** Of the noise: the same seed gives the same pixels. */
  readonly seed: number;
}

export interface SimulatedFrame {
  readonly image: PixelImage<Uint16Array>;
  readonly field: Field;
  readonly circumstances: Circumstances;
  readonly cards: readonly Card[];
}

/** Sixteen megabytes for each frame, used again for the next: it is needed within one call only. */
let spare: Float32Array | null = null;

/** A star that gives in all fewer electrons than this many times a pixel's noise is not drawn. */
const TOO_FAINT = 1.5;

/** Thick cloud at a dark site still glows a little: it dims the sky's light by no more than this, magnitudes. */
const CLOUD_GLOW_FLOOR = 3;

/** The Sun's centre when its upper limb appears (Explanatory Supplement to the Astronomical Almanac). */
const SUNRISE_ALTITUDE: Degrees = -0.833;

/** Simulates one exposure. Pure: the same exposure gives the same pixels. */
export function simulate(exposure: Exposure & Simulation, stars: StarList): SimulatedFrame {
  const circumstances = circumstancesOf(exposure);
  const { camera } = exposure.observatory;
  const field = fieldOf(camera, circumstances.raDegrees, circumstances.decDegrees);
  const dark = camera.darkElectronsPerSecond * exposure.exposureSeconds;
  const light = evenLight(field.width, field.height, dark, spare);
  spare = light.electrons;
  if (isOpenToSky(exposure, circumstances)) addSky(light, field, exposure, circumstances, stars);
  return {
    image: readOut(light, camera, exposure.seed),
    field,
    circumstances,
    cards: frameCards(exposure, circumstances, field, {
      source: stars.source,
      listedTo: stars.completeTo(field.raDegrees, field.decDegrees),
      cloudMagnitudes: exposure.cloudMagnitudes,
    }),
  };
}

/** Light reaches the camera. By day the dome does not open, or shuts itself: for the optics' sake. */
function isOpenToSky(
  { equipment }: Exposure,
  { altitudeDegrees, sunAltitudeDegrees }: Circumstances,
): boolean {
  const { camera, dome } = equipment;
  const isDomeOpen = dome === "open" && sunAltitudeDegrees < SUNRISE_ALTITUDE;
  return camera === "fitted" && isDomeOpen && altitudeDegrees > 0;
}

function addSky(
  light: Light,
  field: Field,
  exposure: Exposure & Simulation,
  circumstances: Circumstances,
  stars: StarList,
): void {
  const { target, exposureSeconds, observatory, cloudMagnitudes } = exposure;
  const { filter, airmass, midUnixMs } = circumstances;
  const { camera } = observatory;
  const veiled = circumstances.skyMagnitude + Math.min(cloudMagnitudes, CLOUD_GLOW_FLOOR);
  const background = skyElectronsPerSecond(filter, camera, veiled) * exposureSeconds;
  for (let index = 0; index < light.electrons.length; index++)
    (light.electrons[index] as number) += background;

  const electronsOf = (magnitude: number): number =>
    starElectronsPerSecond(filter, magnitude + cloudMagnitudes, airmass) * exposureSeconds;
  const fwhmPixels = circumstances.fwhmArcseconds / field.arcsecondsPerPixel;
  const { raDegrees, decDegrees } = field;
  const listed = stars.near(raDegrees, decDegrees, fieldRadiusDegrees(field));
  const faintest = faintestDrawn(electronsOf, background, camera);
  const drawn = [...listed, ...inventedStars(field, stars.completeTo(raDegrees, decDegrees), faintest)];
  drawStars(light, field, drawn, electronsOf, fwhmPixels);

  const view: BodyView | null = target.kind === "body" ? viewOf(target, midUnixMs, observatory.site) : null;
  const centre = { x: (field.width - 1) / 2, y: (field.height - 1) / 2 };
  const random = seededRandom(seedOf(target.id));
  const { arcsecondsPerPixel } = field;
  drawTarget(
    { light, centre, arcsecondsPerPixel, fwhmPixels, electronsOf, gasGain: gasGain(target, filter), random },
    target,
    view,
    midUnixMs,
    listed,
  );
}

/** Where a nebula's lines are not known, a narrow filter passes most of its light and little of a star's (factor from memory). */
const USUAL_GAS_GAIN = 8;

/** How much brighter a nebula is through a filter than a star of its magnitude. */
function gasGain(target: Target, filter: Filter): number {
  const line = target.kind === "fixed" ? lineMagnitude(target, filter) : undefined;
  if (line === undefined || target.kind !== "fixed") return 1;
  return line === null || target.magnitude === null
    ? USUAL_GAS_GAIN
    : 10 ** (0.4 * (target.magnitude - line));
}

function drawStars(
  light: Light,
  field: Field,
  stars: readonly ListedStar[],
  electronsOf: (magnitude: number) => number,
  fwhmPixels: number,
): void {
  for (const star of stars) {
    const place = toPixel(field, star.raDegrees, star.decDegrees);
    if (place) addStar(light, place, electronsOf(star.magnitude), fwhmPixels);
  }
}

/** The magnitude of a star too faint to matter: its light is lost in the noise of a single pixel. */
function faintestDrawn(
  electronsOf: (magnitude: number) => number,
  background: number,
  camera: Camera,
): number {
  const noise = Math.sqrt(background + camera.readNoiseElectrons ** 2);
  return 2.5 * Math.log10(electronsOf(0) / (TOO_FAINT * noise));
}
