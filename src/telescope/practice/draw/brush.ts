/** What every drawing of a target needs: the light it adds to, and how bright a magnitude is there. */
import type { Random } from "../../../base/random.js";
import type { PixelPlace } from "../../frames/world-coordinates.js";
import type { Light } from "../image.js";

export interface Brush {
  readonly light: Light;
  /** Where the target's centre falls. */
  readonly centre: PixelPlace;
  readonly arcsecondsPerPixel: number;
  readonly fwhmPixels: number;
  /** Electrons during the exposure from a magnitude, after extinction and cloud. */
  electronsOf(magnitude: number): number;
  /** How much brighter glowing gas is than a star of its magnitude: above 1 through a filter for its own light. */
  readonly gasGain: number;
  /** Seeded from the target's name: it looks the same in every frame. */
  readonly random: Random;
}

/** Seed from a name: FNV-1a, 32 bits (Fowler, Noll & Vo; RFC 9923). */
export function seedOf(name: string): number {
  let hash = 0x811c9dc5;
  for (const byte of Buffer.from(name)) hash = Math.imul(hash ^ byte, 0x01000193);
  return hash >>> 0;
}
