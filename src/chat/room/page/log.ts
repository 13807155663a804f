/** The night log: what was told, newest first, each once. */
import type { WireNotice } from "../wire.js";
import { askCommand } from "./answer-card.js";
import { byId, el } from "./dom.js";
import { frameCard } from "./frames.js";
import { actionRow, lineText, paragraphs } from "./lines.js";
import { clockText } from "./time.js";

const MOST_SHOWN = 300;
const FOR: Record<WireNotice["to"], string> = { you: "▶ for you", class: "● for everyone", other: "" };

const shown = new Set<string>();

/** Adds a notice at the top; one that is there already is passed over. */
export function addNotice(notice: WireNotice): void {
  const key = notice.seq.join("-");
  if (shown.has(key)) return;
  shown.add(key);
  const body = byId("log-body");
  body.prepend(noticeItem(notice, key));
  while (body.childElementCount > MOST_SHOWN) body.lastElementChild?.remove();
}

export function emptyLog(): void {
  shown.clear();
  byId("log-body").replaceChildren();
}

/** Read aloud from now on: what was missed has been shown. */
export function caughtUp(): void {
  byId("log-body").setAttribute("aria-live", "polite");
}

/** While a page comes back it must not read out a whole evening. */
export function catchingUp(): void {
  byId("log-body").setAttribute("aria-live", "off");
}

function noticeItem(notice: WireNotice, key: string): HTMLElement {
  const { at, to, title, lines, actions, kind, quiet } = notice;
  return el(
    "article",
    // One that shall make no sound is not read aloud either.
    { class: `entry ${to} ${kind}`, "data-seq": key, "aria-live": quiet ? "off" : null },
    el("time", { datetime: new Date(at).toISOString() }, clockText(at)),
    el(
      "div",
      {},
      el("h3", {}, title, ...(FOR[to] === "" ? [] : [" ", el("span", { class: "mark" }, FOR[to])])),
      ...paragraphs(lines),
      framesOf(notice),
      actionRow(actions, ({ command, options }) => void askCommand(command, options)),
    ),
  );
}

/** The reader's own at once; those of others, which staff see, behind one line. */
function framesOf({ frames, to }: WireNotice): HTMLElement | null {
  if (frames.length === 0) return null;
  const cards = el("div", { class: "frames" }, ...frames.map(frameCard));
  if (to !== "other") return cards;
  const words = frames.length === 1 ? "Show the frame" : `Show ${frames.length} frames`;
  return el("details", {}, el("summary", {}, words), cards);
}

/** One sentence of a notice, for the wall. */
export function noticeWords({ title, lines }: WireNotice): string {
  return [title, ...lines.slice(0, 1).map(lineText)].join(" — ");
}
