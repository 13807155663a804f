/** Two numbers that decided something, told with as many digits as it takes to tell them apart. */
import { type Degrees, type Millis, SECOND } from "../../base/units.js";
import { airmassAtTrue, apparentAltitude } from "../../sky/airmass.js";
import { airmassWords } from "./amounts.js";

/** Nobody reads more digits than these. */
const MOST_DIGITS = 6;

/**
 * Both numbers with the fewest digits, from `least` on, by which they differ.
 * @returns null for numbers that only more digits than anyone reads would tell apart
 */
export function apart(one: number, other: number, least: number): readonly [string, string] | null {
  for (let digits = least; digits <= MOST_DIGITS; digits++) {
    const words: readonly [string, string] = [signed(one, digits), signed(other, digits)];
    if (words[0] !== words[1]) return words;
  }
  return null;
}

/** "54° (airmass 1.23) against 41° (1.52)"; close pairs with decimals; of true altitudes, as they are seen. */
export function heightsApart(altitude: Degrees, other: Degrees): string {
  const air = (value: Degrees): string => airmassWords(airmassAtTrue(value));
  const seen = [apparentAltitude(altitude), apparentAltitude(other)] as const;
  const words = apart(...seen, Math.abs(altitude - other) < 1 ? 2 : 0);
  if (words === null) return `by less than a millionth of a degree, both at ${signed(seen[0], 2)}°`;
  return `${words[0]}° (airmass ${air(altitude)}) against ${words[1]}° (${air(other)})`;
}

/** "12 s", "0.4 s", "less than 0.001 s": a difference of less than a minute. */
export function secondsApart(ms: Millis): string {
  const seconds = Math.abs(ms) / SECOND;
  if (seconds < 0.001) return "less than 0.001 s";
  return `${seconds < 1 ? Number(seconds.toFixed(3)) : Math.floor(seconds)} s`;
}

function signed(value: number, digits: number): string {
  const words = value.toFixed(digits);
  return Number(words) === 0 ? words.replace("-", "") : words.replace("-", "−");
}
