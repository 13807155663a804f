/** The night log: what was told, newest first, each once. */
import { html, nothing } from "lit-html";
import { repeat } from "lit-html/directives/repeat.js";
import type { WireNotice } from "../../wire.js";
import { askCommand } from "../ask/answer-card.js";
import { byId, draw } from "../draw/dom.js";
import { frameCard } from "../draw/frames.js";
import { actionRow, lineText, paragraphs } from "../draw/lines.js";
import { clockText } from "../time/clock-words.js";

const MOST_SHOWN = 300;
const FOR: Record<WireNotice["to"], string> = { you: "▶ for you", class: "● for everyone", other: "" };

/** Newest first. */
let shown: readonly WireNotice[] = [];

/** Adds a notice at the top; one that is there already is passed over. */
export function addNotice(notice: WireNotice): void {
  if (!shown.some((each) => keyOf(each) === keyOf(notice))) show([notice, ...shown].slice(0, MOST_SHOWN));
}

export function emptyLog(): void {
  show([]);
}

/** Read aloud from `caught up` on: while a page comes back it must not read out a whole evening. */
export function readAloud(caughtUp: boolean): void {
  byId("log-body").setAttribute("aria-live", caughtUp ? "polite" : "off");
}

function show(notices: readonly WireNotice[]): void {
  shown = notices;
  draw("log-body", repeat(notices, keyOf, noticeView));
}

function keyOf({ seq }: WireNotice): string {
  return seq.join("-");
}

function noticeView(notice: WireNotice): unknown {
  const { at, to, title, lines, actions, kind, quiet } = notice;
  const mark = FOR[to] === "" ? nothing : html` <span class="mark">${FOR[to]}</span>`;
  // One that shall make no sound is not read aloud either.
  return html`<article class="entry ${to} ${kind}" data-seq=${keyOf(notice)} aria-live=${quiet ? "off" : nothing}>
    <time datetime=${new Date(at).toISOString()}>${clockText(at)}</time>
    <div><h3>${title}${mark}</h3>${paragraphs(lines)}${framesOf(notice)}${actionRow(actions, ({ command, options }) => void askCommand(command, options))}</div>
  </article>`;
}

/** The reader's own at once; those of others, which staff see, behind one line. */
function framesOf({ frames, to }: WireNotice): unknown {
  if (frames.length === 0) return nothing;
  const cards = html`<div class="frames">${frames.map(frameCard)}</div>`;
  if (to !== "other") return cards;
  const words = frames.length === 1 ? "Show the frame" : `Show ${frames.length} frames`;
  return html`<details><summary>${words}</summary>${cards}</details>`;
}

/** One sentence of a notice, for the wall. */
export function noticeWords({ title, lines }: WireNotice): string {
  return [title, ...lines.slice(0, 1).map(lineText)].join(" — ");
}
