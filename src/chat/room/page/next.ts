/** The reader's next request: place, start with range, counting down. */
import type { WireOwn } from "../wire.js";
import { asOf } from "./away.js";
import { byId, el, setText } from "./dom.js";
import { lengthText } from "./length.js";
import { lineNodes } from "./lines.js";
import { nextLine, placeWords, range, standstill, watchWords } from "./next-words.js";
import { redraw } from "./redraw.js";
import { clockText, now, pace } from "./time.js";

let own: readonly WireOwn[] = [];

export function showOwn(requests: readonly WireOwn[]): void {
  own = requests;
  const [first, ...others] = own;
  redraw(byId("next-body"), first ? card(first, others) : nothing());
}

/** On one line, for the strip that stays in view; empty when nothing waits. */
export function nextShortly(): string {
  const first = own[0];
  return first ? nextLine(first, now(), clockText, asOf()) : "";
}

export function ownRequests(): readonly WireOwn[] {
  return own;
}

/** Counts on. */
export function tickNext(): void {
  const first = own[0];
  const body = byId("next-body");
  const [count, watch] = [body.querySelector(".count.live"), body.querySelector(".pace")];
  if (!first || !count || !watch || first.start === null) return;
  setText(count, countText(first.start));
  setText(watch, watchText(first.start));
}

function countText(start: number): string {
  const left = start - now();
  return left > 1_000 ? lengthText(left) : "any moment";
}

function watchText(start: number): string {
  const left = start - now();
  if (asOf() !== "") return `Not counting: ${asOf()}`;
  return left > 1_000 ? watchWords(left, pace()) : "";
}

function card(first: WireOwn, others: readonly WireOwn[]): HTMLElement[] {
  const what = el("p", { class: "what" }, el("strong", {}, first.label), ` ${first.wish}`);
  const then =
    others.length > 0 ? [el("p", { class: "others" }, `Then ${others.map(shortly).join(", ")}`)] : [];
  if (first.place === 0) {
    const head = [el("p", { class: "count" }, "Now"), el("p", { class: "pace" }, "The telescope is on it.")];
    return [...head, what, ...then];
  }
  if (first.start === null) {
    const { head, rest } = standstill(first);
    return [el("p", { class: "count small" }, head), what, el("p", {}, ...lineNodes(rest)), ...then];
  }
  const count = el(
    "p",
    { class: "count live", role: "timer", "aria-live": "off", "aria-label": "Time until it starts" },
    countText(first.start),
  );
  const when = `${placeWords(first.place)}, starts about ${range(first, clockText)}`;
  return [
    count,
    el("p", { class: "pace" }, watchText(first.start)),
    what,
    el("p", { class: "when" }, when),
    ...then,
  ];
}

function nothing(): HTMLElement[] {
  return [
    el("p", { class: "count small" }, "Nothing waiting"),
    el("p", {}, "Press Ask to choose something; it shows what stands high now."),
  ];
}

function shortly({ label, start }: WireOwn): string {
  return start === null ? label : `${label} about ${clockText(start)}`;
}
