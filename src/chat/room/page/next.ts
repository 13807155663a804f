/** The reader's next request: place, start with range, counting down. */
import type { WireOwn } from "../wire.js";
import { byId, el, setText } from "./dom.js";
import { lengthText } from "./length.js";
import { lineNodes } from "./lines.js";
import { clockText, now, speed } from "./time.js";

let own: readonly WireOwn[] = [];
let count: HTMLParagraphElement | null = null;
let pace: HTMLParagraphElement | null = null;

export function showOwn(requests: readonly WireOwn[]): void {
  own = requests;
  const [first, ...others] = own;
  count = null;
  byId("next-body").replaceChildren(...(first ? card(first, others) : nothing()));
  tickNext();
}

/** In a few words, for the strip that stays in view; empty when nothing waits. */
export function nextShortly(): string {
  const first = own[0];
  if (!first) return "";
  if (first.place === 0) return `▶ ${first.label} now`;
  return first.start === null
    ? `▶ ${first.label} waits`
    : `▶ ${first.label} in ${lengthText(first.start - now())}`;
}

export function ownRequests(): readonly WireOwn[] {
  return own;
}

/** Counts on. */
export function tickNext(): void {
  const first = own[0];
  if (!first || !count || !pace || first.start === null || first.place === 0) return;
  const left = first.start - now();
  setText(count, left > 1_000 ? lengthText(left) : "any moment");
  setText(pace, speed() > 1 && left > 1_000 ? `about ${lengthText(left / speed())} on your watch` : "");
}

function card(first: WireOwn, others: readonly WireOwn[]): HTMLElement[] {
  const parts = [el("p", { class: "what" }, el("strong", {}, first.label), ` ${first.wish}`)];
  if (first.place === 0) {
    parts.unshift(el("p", { class: "count" }, "Now"), el("p", { class: "pace" }, "The telescope is on it."));
  } else if (first.start === null) {
    parts.unshift(el("p", { class: "count small" }, "No turn yet"));
    parts.push(el("p", {}, ...lineNodes(first.words)));
  } else {
    count = el("p", {
      class: "count",
      role: "timer",
      "aria-live": "off",
      "aria-label": "Time until it starts",
    });
    pace = el("p", { class: "pace" });
    parts.unshift(count, pace);
    parts.push(el("p", { class: "when" }, `${placeWords(first.place)}, starts about ${range(first)}`));
  }
  if (others.length > 0) parts.push(el("p", { class: "others" }, `Then ${others.map(shortly).join(", ")}`));
  return parts;
}

function nothing(): HTMLElement[] {
  return [
    el("p", { class: "count small" }, "Nothing waiting"),
    el("p", {}, "Press Ask to choose something; it shows what stands high now."),
  ];
}

function range({ start, early, late }: WireOwn): string {
  const middle = clockText(start ?? 0);
  if (early === null || late === null || late - early < 60_000) return middle;
  return `${middle} (${clockText(early)}–${clockText(late)})`;
}

function shortly({ label, start }: WireOwn): string {
  return start === null ? label : `${label} about ${clockText(start)}`;
}

export function placeWords(place: number | null): string {
  if (place === null) return "No turn tonight";
  if (place === 0) return "Being observed now";
  return place === 1 ? "Next in line" : `Number ${place} in line`;
}
