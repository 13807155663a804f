/** The classroom screen: legible from the back row, nothing to press. */
import type { ServerMessage, WireNotice } from "../wire.js";
import { button, byId, el, setText } from "./dom.js";
import { noticeWords } from "./log.js";
import { greeting } from "./me.js";
import { orderRows } from "./order.js";
import { qrDrawing } from "./qr.js";
import { redraw } from "./redraw.js";
import { currentStatus, tickScope } from "./scope.js";
import { drawSky } from "./sky.js";
import { showBanner } from "./state-line.js";
import { clockText, now } from "./time.js";

type Order = Extract<ServerMessage, { t: "order" }>;

const ROWS = 7;
const SAID: ReadonlySet<string> = new Set(["announcement", "session", "dusk", "morning"]);

/** Builds the screen once. */
export function startWall(): void {
  const wall = byId("wall");
  wall.replaceChildren(
    el("div", { id: "wall-banner", role: "alert", hidden: true }),
    el("p", { id: "wall-clock", role: "timer", "aria-live": "off" }),
    el(
      "section",
      { id: "wall-now", "aria-labelledby": "wall-now-head" },
      el("h2", { id: "wall-now-head" }, "Now"),
      el("div", { id: "wall-scope" }),
    ),
    el(
      "section",
      { id: "wall-next", "aria-labelledby": "wall-next-head" },
      el("h2", { id: "wall-next-head" }, "Next"),
      el("ol", { id: "wall-order" }),
    ),
    el("section", { id: "wall-sky", "aria-label": "The sky above the dome" }),
    el("p", { id: "wall-said", role: "status" }),
    el("div", { id: "wall-entry" }),
  );
  wall.hidden = false;
}

/** How to join, on a screen that staff opened: shown or hidden with one press. */
export function showWallEntry(): void {
  const back = el("a", { href: "/", class: "act" }, "Back to the desk");
  const entry = greeting()?.entry;
  if (!entry) {
    byId("wall-entry").replaceChildren(back);
    return;
  }
  const box = el(
    "div",
    { class: "wall-entry", hidden: true },
    entry.qr.length > 0 ? el("div", { class: "qr" }, qrDrawing(entry.qr)) : null,
    el("p", {}, entry.address, el("br"), "Class code ", el("strong", {}, entry.code)),
  );
  const toggle = button(
    "How to join",
    () => {
      box.hidden = !box.hidden;
      toggle.setAttribute("aria-expanded", String(!box.hidden));
    },
    { class: "act", "aria-expanded": "false" },
  );
  byId("wall-entry").replaceChildren(box, toggle, back);
}

/** As many rows as a screen has room for; all are counted. */
export function wallOrder({ rows, waiting }: Order): void {
  const next = rows.filter(({ place }) => place !== 0).slice(0, ROWS);
  setText(byId("wall-next-head"), waiting > 1 ? `Next, of ${waiting} waiting` : "Next");
  redraw(byId("wall-order"), orderRows(next, 0));
}

/** What was said to the class last; holds and faults have the banner. */
export function wallNotice(notice: WireNotice): void {
  if (notice.to === "class" && SAID.has(notice.kind)) setText(byId("wall-said"), noticeWords(notice));
}

/** Counts on. */
export function tickWall(): void {
  const status = currentStatus();
  setText(byId("wall-clock"), clockText(now()));
  if (!status) return;
  showBanner(byId("wall-banner"));
  tickScope(byId("wall-scope"));
}

export function wallSky(): void {
  drawSky(byId("wall-sky"));
}
