/** From expected electrons to counted pixels: photon noise, full well, read noise, gain, bias, 16 bits. */
import { type Random, seededRandom } from "../../base/random.js";
import type { Camera } from "../../observatory/observatory.js";
import type { PixelImage } from "../frames/pixel-statistics.js";
import type { Light } from "./image.js";

const POOL = 65_536;
/** Below this mean the Poisson deviate is drawn exactly. */
const FEW = 6;
const LARGEST = 65_535;

/**
 * Reads the camera out: the CCD equation's terms, drawn pixel by pixel (Merline & Howell 1995, Experimental
 * Astronomy 6, 163; Howell, Handbook of CCD Astronomy, ch. 4). Each pixel holds a Poisson deviate of its
 * expected electrons (sky, source and dark current), at most the full well; read noise is added when it is
 * read. A full pixel does not spill into its neighbours.
 */
export function readOut(light: Light, camera: Camera, seed: number): PixelImage<Uint16Array> {
  const random = seededRandom(seed);
  const pool = normalPool(random);
  let state = Math.floor(random.uniform() * 4_294_967_296) | 0;
  // xorshift32 (Marsaglia 2003, Journal of Statistical Software 8, 14): it only picks from the pool.
  const next = (): number => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return state;
  };
  if (state === 0) state = 1;
  const { biasAdu, fullWellElectrons, gainElectronsPerAdu, readNoiseElectrons } = camera;
  const pixels = new Uint16Array(light.electrons.length);
  for (let index = 0; index < pixels.length; index++) {
    const mean = light.electrons[index] as number;
    const bits = next();
    const counted = mean < FEW ? random.poisson(mean) : manyPhotons(mean, pool[bits >>> 16] as number);
    const kept = Math.min(counted, fullWellElectrons);
    const electrons = kept + readNoiseElectrons * (pool[bits & 0xffff] as number);
    const adu = Math.round(biasAdu + electrons / gainElectronsPerAdu);
    pixels[index] = adu < 0 ? 0 : Math.min(adu, LARGEST);
  }
  return { width: light.width, height: light.height, pixels };
}

/**
 * A Poisson deviate from a normal one by the Cornish–Fisher expansion to the skewness term
 * (Cornish & Fisher 1938, Revue de l'Institut International de Statistique 5, 307).
 */
function manyPhotons(mean: number, normal: number): number {
  const count = Math.round(mean + Math.sqrt(mean) * normal + (normal * normal - 1) / 6);
  return Math.max(count, 0);
}

/** Standard normal deviates to draw from again and again, with mean exactly 0 and variance exactly 1. */
function normalPool(random: Random): Float32Array {
  const pool = Float32Array.from({ length: POOL }, () => random.normal());
  const mean = pool.reduce((sum, value) => sum + value, 0) / POOL;
  const variance = pool.reduce((sum, value) => sum + (value - mean) ** 2, 0) / POOL;
  return pool.map((value) => (value - mean) / Math.sqrt(variance));
}
