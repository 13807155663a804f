/** What has just been told, at the top of the page until its reader has seen it. */
import { html, nothing } from "lit-html";
import { repeat } from "lit-html/directives/repeat.js";
import type { WireNotice } from "../../wire.js";
import { askCommand } from "../ask/answer-card.js";
import { button, byId, draw } from "../draw/dom.js";
import { frameCard } from "../draw/frames.js";
import { actionRow, paragraphs } from "../draw/lines.js";
import { recall, remember } from "../keep.js";
import { clockText } from "../time/clock-words.js";
import { signal } from "./signals.js";

/** More would push away what the page is for; the rest is in the night log. */
const MOST = 3;
/** So long after a card has come nothing is pressed by mistake, milliseconds. */
const SETTLING_MS = 400;
/** What everyone in the class should see, besides what is for the reader alone. */
const FOR_ALL: ReadonlySet<string> = new Set(["announcement", "hold", "resumed", "session"]);
/** Of these each puts an end to the one before. */
const SAME_MATTER: Readonly<Record<string, string>> = { hold: "hold", resumed: "hold", session: "session" };

const TITLE = document.title;

/** Newest first. */
let cards: readonly WireNotice[] = [];
/** Those that the reader had not closed when the page was left. */
const left = new Set((recall("news") ?? "").split(" "));

/** Takes a notice if it is news: new to this browser, or not closed before a reload. */
export function addNews(notice: WireNotice, isNew: boolean): void {
  const isFor = notice.to === "you" || (notice.to === "class" && FOR_ALL.has(notice.kind));
  if (!isFor || !(isNew || left.has(keyOf(notice)))) return;
  const others = cards.filter((each) => keyOf(each) !== keyOf(notice) && !isReplaced(each, notice));
  show([notice, ...others].slice(0, MOST));
  if (!isNew) return;
  settle();
  if (!notice.quiet) signal(notice);
}

export function emptyNews(): void {
  show([]);
}

/** Two times for one request never stand together, nor a hold beside its end. */
function isReplaced(older: WireNotice, newer: WireNotice): boolean {
  if (newer.about !== null && older.about === newer.about) return true;
  if (older.kind === "moved" && newer.to === "you") return true;
  const matter = SAME_MATTER[newer.kind];
  return matter !== undefined && SAME_MATTER[older.kind] === matter;
}

function show(notices: readonly WireNotice[]): void {
  cards = notices;
  remember("news", notices.map(keyOf).join(" "));
  document.title = notices.length === 0 ? TITLE : `(${notices.length}) ${TITLE}`;
  byId("news").hidden = notices.length === 0;
  draw(
    "news",
    repeat(notices, keyOf, (notice) => (notice === notices[0] ? whole(notice) : folded(notice))),
  );
}

function whole(notice: WireNotice): unknown {
  return html`<article class="card ${kindOf(notice)}"><div class="card-head"><h2>${notice.title}</h2>${close(notice)}</div
    >${body(notice)}</article>`;
}

function folded(notice: WireNotice): unknown {
  return html`<article class="card ${kindOf(notice)}"><div class="card-head"
    ><details><summary>${notice.title}</summary>${body(notice)}</details>${close(notice)}</div></article>`;
}

function body({ at, lines, frames, actions }: WireNotice): unknown {
  return html`<p class="quiet"><time datetime=${new Date(at).toISOString()}>${clockText(at)}</time></p>${paragraphs(lines)}${
    frames.length > 0 ? html`<div class="frames">${frames.map(frameCard)}</div>` : nothing
  }${actionRow(actions, ({ command, options }) => void askCommand(command, options))}`;
}

function close(notice: WireNotice): unknown {
  const without = (): void => show(cards.filter((each) => each !== notice));
  return button(html`Close<span class="unseen"> “${notice.title}”</span>`, without, "close");
}

/** By its edge, besides its words: said to all, gone well, gone otherwise. */
function kindOf({ kind }: WireNotice): string {
  if (kind === "completed" || kind === "resumed" || kind === "restored") return "good";
  return ["cancelled", "failed", "hold"].includes(kind) ? "bad" : kind === "announcement" ? "said" : "";
}

function settle(): void {
  document.body.classList.add("settling");
  setTimeout(() => document.body.classList.remove("settling"), SETTLING_MS);
}

function keyOf({ seq }: WireNotice): string {
  return seq.join("-");
}
