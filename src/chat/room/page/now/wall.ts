/** The classroom screen: legible from the back row, nothing to press. */
import { html, nothing } from "lit-html";
import type { WireHello, WireNotice } from "../../wire.js";
import { byId, draw, setText } from "../draw/dom.js";
import { qrDrawing } from "../draw/qr.js";
import { heard, type Order } from "../heard.js";
import { clockText, now } from "../time/clock-words.js";
import { noticeWords } from "./log.js";
import { drawRows } from "./order.js";
import { drawScope } from "./scope.js";
import { showState } from "./state-line.js";

const ROWS = 7;
const SAID: ReadonlySet<string> = new Set(["announcement", "session", "dusk", "morning"]);

/** Builds the screen once. */
export function startWall(): void {
  draw(
    "wall",
    html`<div id="wall-banner" role="alert" hidden></div>
      <p id="wall-clock" role="timer" aria-live="off"></p>
      <section id="wall-now" aria-labelledby="wall-now-head"><h2 id="wall-now-head">Now</h2><div id="wall-scope"></div></section>
      <section id="wall-next" aria-labelledby="wall-next-head"><h2 id="wall-next-head">Next</h2><ol id="wall-order"></ol></section>
      <section id="wall-sky" aria-label="The sky above the dome"></section>
      <p id="wall-said" role="status"></p>
      <div id="wall-entry"></div>`,
  );
}

/** How to join, on a screen that staff opened: shown or hidden with one press. */
export function showWallEntry(entry: WireHello["entry"], isShown = false): void {
  const way =
    entry &&
    html`<div class="wall-entry" ?hidden=${!isShown}>${qrDrawing(entry.qr)}
      <p>${entry.address}<br>Class code <strong>${entry.code}</strong></p></div>
    <button type="button" class="act" aria-expanded=${isShown} @click=${() => showWallEntry(entry, !isShown)}>How to join</button>`;
  draw("wall-entry", html`${way ?? nothing}<a href="/" class="act">Back to the desk</a>`);
}

/** As many rows as a screen has room for; all are counted. */
export function wallOrder({ rows, waiting }: Order): void {
  const next = rows.filter(({ place }) => place !== 0).slice(0, ROWS);
  setText(byId("wall-next-head"), wallHead(waiting));
  drawRows("wall-order", next, 0);
}

/** Nothing comes next during a hold. */
function wallHead(waiting: number): string {
  if (heard.status?.hold) return waiting > 0 ? `${waiting} waiting` : "Waiting";
  return waiting > 1 ? `Next, of ${waiting} waiting` : "Next";
}

/** What was said to the class last; holds and faults have the banner. */
export function wallNotice(notice: WireNotice): void {
  if (notice.to === "class" && SAID.has(notice.kind)) setText(byId("wall-said"), noticeWords(notice));
}

/** Counts on. */
export function tickWall(): void {
  setText(byId("wall-clock"), clockText(now()));
  if (!heard.status) return;
  showState("wall-banner");
  drawScope("wall-scope");
}
