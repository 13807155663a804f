/** Chances, as they are told. */

/** "85 %"; never rounds what is possible to 0 nor what is uncertain to 100. */
export function percent(fraction: number): string {
  if (fraction > 0 && fraction < 0.01) return "under 1 %";
  if (fraction < 1 && fraction > 0.99) return "over 99 %";
  return `${Math.round(fraction * 100)} %`;
}
