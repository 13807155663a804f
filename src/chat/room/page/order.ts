/** The run order: the reader's own and the reader's group marked by shape and word. */
import type { ServerMessage, WireRow } from "../wire.js";
import { byId, el, setText } from "./dom.js";
import { closeness, me } from "./me.js";
import { redraw } from "./redraw.js";
import { clockText } from "./time.js";

type Order = Extract<ServerMessage, { t: "order" }>;

const RULE_WORDS: Record<string, string> = {
  "highest-first": "highest in the sky first",
  "first-come": "in order of asking",
  "setting-first": "soonest to set first",
  "one-each": "one each in turn",
  planned: "planned for the night",
};

/** Fills the section. */
export function showOrder(order: Order): void {
  const { waiting, rule, rows, more } = order;
  setText(byId("order-note"), `${waiting} waiting, ${RULE_WORDS[rule] ?? rule}.`);
  redraw(byId("order-list"), orderRows(rows, more, ": type /queue to see whose"));
}

/** A row each, and one for those that are not shown. */
export function orderRows(rows: readonly WireRow[], more: number, hint = ""): HTMLElement[] {
  if (rows.length === 0 && more === 0) return [el("li", { class: "row more" }, "Nobody is waiting.")];
  const rest = more > 0 ? [el("li", { class: "row more" }, `and ${more} more${hint}`)] : [];
  return [...rows.map(rowItem), ...rest];
}

function rowItem(row: WireRow): HTMLElement {
  const near = closeness(row.ids, [row.group]);
  return el(
    "li",
    { class: `row ${near}${row.place === 0 ? " now" : ""}`, "data-key": row.number },
    el("span", { class: "start" }, startWords(row)),
    " ",
    el(
      "span",
      { class: "label" },
      el("b", {}, row.label),
      row.altitude === null ? null : el("small", {}, ` ${row.altitude}° high`),
    ),
    " ",
    el("span", { class: "who" }, row.who === "" ? "" : near === "you" ? sharedWords(row) : row.who),
    " ",
    mark(row, near),
  );
}

/** In a column as narrow as a time of day. */
function startWords({ place, start, held }: WireRow): string {
  if (place === 0) return "now";
  if (start !== null) return clockText(start);
  return held ? "held" : "later";
}

function mark(row: WireRow, near: "you" | "group" | "other"): HTMLElement | null {
  if (near === "you") return el("span", { class: "mark you" }, "▶ yours");
  if (near === "group") return el("span", { class: "mark group" }, `◆ ${me().group}`);
  return row.group === null ? null : el("span", { class: "mark" }, row.group);
}

function sharedWords({ ids }: WireRow): string {
  return ids.length > 1 ? `shared by ${ids.length}` : "you";
}
