/** The reader's next request: place, start with range, counting down. */
import { html, nothing } from "lit-html";
import type { WireOwn } from "../../wire.js";
import { draw } from "../draw/dom.js";
import { lineView } from "../draw/lines.js";
import { heard } from "../heard.js";
import { clockText, now, pace } from "../time/clock-words.js";
import { lengthText } from "../time/length.js";
import { asOf } from "./away.js";
import { nextLine, placeWords, range, standstill, watchWords } from "./next-words.js";

/** Counts on. */
export function drawNext(): void {
  const [first, ...others] = heard.own;
  draw("next-body", first ? card(first, others) : nothingWaits);
}

/** On one line, for the strip that stays in view; empty when nothing waits. */
export function nextShortly(): string {
  const [first] = heard.own;
  return first ? nextLine(first, now(), clockText, asOf()) : "";
}

function card(first: WireOwn, others: readonly WireOwn[]): unknown {
  const what = html`<p class="what"><strong>${first.label}</strong> ${first.wish}</p>`;
  const then =
    others.length > 0 ? html`<p class="others">Then ${others.map(shortly).join(", ")}</p>` : nothing;
  if (first.place === 0) {
    return html`<p class="count">Now</p><p class="pace">The telescope is on it.</p>${what}${then}`;
  }
  if (first.start === null) {
    const { head, rest } = standstill(first);
    return html`<p class="count small">${head}</p>${what}<p>${lineView(rest)}</p>${then}`;
  }
  const left = first.start - now();
  const watch = asOf() !== "" ? `Not counting: ${asOf()}` : left > 1_000 ? watchWords(left, pace()) : "";
  return html`<p class="count live" role="timer" aria-live="off" aria-label="Time until it starts"
      >${left > 1_000 ? lengthText(left) : "any moment"}</p>
    <p class="pace">${watch}</p>${what}
    <p class="when">${placeWords(first)}, starts about ${range(first, clockText)}</p>
    ${first.words.length > 0 ? html`<p>${lineView(first.words)}</p>` : nothing}${then}`;
}

const nothingWaits = html`<p class="count small">Nothing waiting</p>
  <p>Press Ask to choose something; it shows what stands high now.</p>`;

function shortly({ label, start }: WireOwn): string {
  return start === null ? label : `${label} about ${clockText(start)}`;
}
