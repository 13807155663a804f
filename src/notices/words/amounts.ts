/** Numbers said aloud: counts, lists of requests, lengths of time. */
import { count, listed, stretchesOf } from "../../base/english.js";
import { MINUTE, type Millis } from "../../base/units.js";
import type { Request, Wish } from "../../queue/request.js";

/** "#4", "#3 and #8", "#3–#5, #8 and #11"; at most `longest` stretches, then how many more there are. */
export function numberList(numbers: readonly number[], longest = 12): string {
  const stretches = stretchesOf([...new Set(numbers)].sort((a, b) => a - b));
  const shown = stretches.slice(0, longest);
  const left = stretches.slice(longest).reduce((sum, each) => sum + each.last - each.first + 1, 0);
  const words = shown.flatMap(({ first, last }) => {
    if (first === last) return [`#${first}`];
    return last === first + 1 ? [`#${first}`, `#${last}`] : [`#${first}–#${last}`];
  });
  return listed(left > 0 ? [...words, `${left} more`] : words);
}

/** "less than a minute", "14 min", "2 h", "1 h 20 min"; never negative. */
export function duration(ms: Millis): string {
  const minutes = Math.round(Math.abs(ms) / MINUTE);
  if (minutes === 0) return "less than a minute";
  if (minutes < 60) return `${minutes} min`;
  const rest = minutes % 60;
  return `${Math.floor(minutes / 60)} h${rest === 0 ? "" : ` ${rest} min`}`;
}

/** An angle to the degree, to a tenth below two degrees: "62°", "0.4°". */
export function degrees(angle: number): string {
  const size = Math.abs(angle);
  return `${size < 2 ? size.toFixed(1) : Math.round(size)}°`;
}

/** "#12 Ring Nebula (M57)". */
export function requestName(request: Pick<Request, "number" | "target">): string {
  return `#${request.number} ${request.target.name}`;
}

/** "3 frames of 20 s, filter V". */
export function wishWords(wish: Pick<Wish, "frames" | "exposureSeconds" | "filter">): string {
  return `${count(wish.frames, "frame")} of ${seconds(wish.exposureSeconds)}, filter ${wish.filter}`;
}

/** "20 s", "0.5 s". */
export function seconds(length: number): string {
  return `${Number(length.toFixed(2))} s`;
}

/** "1.24"; "very large" where the line of sight grazes the horizon. */
export function airmassWords(airmass: number): string {
  return Number.isFinite(airmass) && airmass < 40 ? airmass.toFixed(2) : "very large";
}
