/** Seeded random numbers: the same seed gives the same sequence on every machine. */

export interface Random {
  /** Uniform in [0, 1). */
  uniform(): number;
  /** Standard normal deviate. */
  normal(): number;
  /** Exponential deviate with the given mean. */
  exponential(mean: number): number;
  /** Poisson deviate (a whole number ≥ 0) with the given mean. */
  poisson(mean: number): number;
}

/**
 * Counter-based generator after Steele, Lea & Flood 2014 (SplitMix, OOPSLA '14), 32-bit form:
 * a Weyl sequence through the finalizer of MurmurHash3. Period 2^32.
 */
export function seededRandom(seed: number): Random {
  let state = seed >>> 0;
  let spare: number | null = null;

  const uniform = (): number => {
    state = (state + 0x9e3779b9) >>> 0;
    let z = state;
    z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
    z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
    return ((z ^ (z >>> 16)) >>> 0) / 4_294_967_296;
  };

  /** Marsaglia's polar method (1964). */
  const normal = (): number => {
    if (spare !== null) {
      const value = spare;
      spare = null;
      return value;
    }
    for (;;) {
      const u = 2 * uniform() - 1;
      const v = 2 * uniform() - 1;
      const s = u * u + v * v;
      if (s > 0 && s < 1) {
        const factor = Math.sqrt((-2 * Math.log(s)) / s);
        spare = v * factor;
        return u * factor;
      }
    }
  };

  const exponential = (mean: number): number => -mean * Math.log(1 - uniform());

  /** Knuth's product method below 30, else a rounded normal (exact enough for photon counts). */
  const poisson = (mean: number): number => {
    if (mean <= 0) return 0;
    if (mean > 30) return Math.max(0, Math.round(mean + Math.sqrt(mean) * normal()));
    const floor = Math.exp(-mean);
    let count = 0;
    for (let product = uniform(); product > floor; product *= uniform()) count++;
    return count;
  };

  return { uniform, normal, exponential, poisson };
}
