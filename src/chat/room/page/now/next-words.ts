/** A request's place and start in words. */
import type { WireLine, WireOwn } from "../../wire.js";
import { lengthText, shortLength } from "../time/length.js";

type Clock = (unixMs: number) => string;

/** "18:41 (18:40–18:42)"; "19:40, or else about 05:30"; one time where the range is no wider than the minute that is printed. */
export function range(own: Pick<WireOwn, "start" | "early" | "late" | "orElse">, clock: Clock): string {
  if (own.orElse !== null) return `${clock(own.start ?? 0)}, or else about ${clock(own.orElse)}`;
  const ends = rangeEnds(own, clock);
  return `${clock(own.start ?? 0)}${ends === null ? "" : ` (${ends})`}`;
}

/** "18:40–18:42"; null where it is no wider than the minute that is printed. */
export function rangeEnds({ early, late }: Pick<WireOwn, "early" | "late">, clock: Clock): string | null {
  return early === null || late === null || late - early <= 60_000 ? null : `${clock(early)}–${clock(late)}`;
}

/** "Next in line", "First in line", "Number 4 in line" */
export function placeWords({ place, isNext }: Pick<WireOwn, "place" | "isNext">): string {
  if (place === null) return "No turn tonight";
  if (isNext) return "Next in line";
  return place === 1 ? "First in line" : `Number ${place} in line`;
}

/** Why it has no start: in two words, and the sentence without saying those again. */
export function standstill({ words }: Pick<WireOwn, "words">): {
  readonly head: string;
  readonly rest: WireLine;
} {
  const [first, second, ...others] = words;
  if (typeof first !== "object" || !("strong" in first) || first.strong !== "Not tonight") {
    return { head: "Waits", rest: words };
  }
  const after = typeof second === "string" ? second.replace(/^[:,.]?\s*/, "") : "";
  return { head: first.strong, rest: [after.charAt(0).toUpperCase() + after.slice(1), ...others] };
}

/**
 * All of it on one line: "▶ #22 M15, next, 18:41 (18:40–18:42), in 2 min".
 * @param asOf "as of 18:41" where nothing newer is known: then nothing is counted down
 */
export function nextLine(own: WireOwn, nowUnixMs: number, clock: Clock, asOf: string): string {
  const { label, place, start, isNext } = own;
  if (place === 0) return `▶ ${label} now`;
  if (start === null) return `▶ ${label}: ${standstill(own).head.toLowerCase()}`;
  const where = isNext ? "next" : place === 1 ? "first" : `number ${place}`;
  const left = start - nowUnixMs;
  const until = asOf !== "" ? asOf : left > 1_000 ? `in ${shortLength(left)}` : "any moment";
  return `▶ ${label}, ${where}, ${range(own, clock)}, ${until}`;
}

/** "about 3 s on your watch"; empty where both run alike. `pace`: observatory's seconds in one of the reader's. */
export function watchWords(
  leftMs: number,
  pace: { readonly most: number; readonly measured: number },
): string {
  if (pace.most <= 1) return "";
  const own = leftMs / pace.measured;
  return own < 1_500 ? "any moment on your watch" : `about ${lengthText(own)} on your watch`;
}
