/** Gamma-distributed rates: what is believed of a rate after some events in some time. */
import type { Random } from "../../base/random.js";

/**
 * Gamma deviate with mean 1 (Marsaglia & Tsang 2000, ACM Transactions on Mathematical Software 26, 363);
 * 1 for an infinite shape.
 * @param shape at least 1
 */
export function gammaOfMeanOne(shape: number, random: Random): number {
  if (!Number.isFinite(shape)) return 1;
  const d = Math.max(1, shape) - 1 / 3;
  const c = 1 / Math.sqrt(9 * d);
  for (;;) {
    const normal = random.normal();
    const v = (1 + c * normal) ** 3;
    if (v <= 0) continue;
    if (Math.log(1 - random.uniform()) < 0.5 * normal * normal + d - d * v + d * Math.log(v))
      return (d * v) / Math.max(1, shape);
  }
}
