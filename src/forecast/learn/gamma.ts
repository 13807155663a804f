/** Gamma-distributed rates: what is believed of a rate after some events in some time. */
import { randomGamma } from "d3-random";
import type { Random } from "../../base/random.js";

/**
 * Gamma deviate with mean 1; 1 for an infinite shape.
 * @param shape at least 1
 */
export function gammaOfMeanOne(shape: number, { uniform }: Random): number {
  if (!Number.isFinite(shape)) return 1;
  const known = Math.max(1, shape);
  return randomGamma.source(uniform)(known, 1 / known)();
}
