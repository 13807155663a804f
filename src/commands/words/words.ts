/** Small pieces of English beyond those of the notices: ordinals, choices, airmass, chances. */

const ORDINALS = [
  "first",
  "second",
  "third",
  "fourth",
  "fifth",
  "sixth",
  "seventh",
  "eighth",
  "ninth",
  "tenth",
];

/** "third", "11th", "42nd"; for a whole number ≥ 1. */
export function ordinal(count: number): string {
  const word = ORDINALS[count - 1];
  if (word) return word;
  const teens = count % 100 >= 11 && count % 100 <= 13;
  const ending = teens ? "th" : (["th", "st", "nd", "rd"][count % 10] ?? "th");
  return `${count}${ending}`;
}

/** "A", "A and B", "A, B and C"; with another joint, "A, B or C". */
export function listed(items: readonly string[], joint = "and"): string {
  if (items.length < 2) return items.join("");
  return `${items.slice(0, -1).join(", ")} ${joint} ${items.at(-1)}`;
}

/** "1.24"; "very large" where the line of sight grazes the horizon. */
export function airmassWords(airmass: number): string {
  return Number.isFinite(airmass) && airmass < 40 ? airmass.toFixed(2) : "very large";
}

/** "85 %"; never rounds what is possible to 0 nor what is uncertain to 100. */
export function percent(fraction: number): string {
  if (fraction > 0 && fraction < 0.01) return "under 1 %";
  if (fraction < 1 && fraction > 0.99) return "over 99 %";
  return `${Math.round(fraction * 100)} %`;
}

/** The first letter made a capital. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
