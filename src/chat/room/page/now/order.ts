/** The run order: the reader's own and the reader's group marked by shape and word. */
import { html, nothing } from "lit-html";
import { repeat } from "lit-html/directives/repeat.js";
import type { RuleName } from "../../../../queue/request.js";
import type { WireRow } from "../../wire.js";
import { byId, draw, setText } from "../draw/dom.js";
import { type Closeness, closeness, me, type Order } from "../heard.js";
import { clockText } from "../time/clock-words.js";
import { rangeEnds } from "./next-words.js";

const RULE_WORDS: Record<RuleName, string> = {
  "highest-first": "highest in the sky first",
  "first-come": "in order of asking",
  "setting-first": "soonest to set first",
  "one-each": "one each in turn",
  planned: "planned for the night",
};

/** Fills the section. */
export function showOrder({ waiting, rule, rows, more }: Order): void {
  setText(byId("order-note"), `${waiting} waiting, ${RULE_WORDS[rule as RuleName] ?? rule}.`);
  drawRows("order-list", rows, more);
}

/** A row each, and one for those that are not shown. */
export function drawRows(id: "order-list" | "wall-order", rows: readonly WireRow[], more: number): void {
  const rest =
    more > 0 ? `and ${more} more: type /queue to see whose` : rows.length === 0 ? "Nobody is waiting." : null;
  const list = repeat(rows, ({ number, label }) => number ?? label, rowView);
  draw(id, html`${list}${rest === null ? nothing : html`<li class="row more">${rest}</li>`}`);
}

function rowView(row: WireRow): unknown {
  const near = closeness(row.ids, [row.group]);
  const small = [row.altitude === null ? null : `${row.altitude}° high`, rangeEnds(row, clockText)];
  const height = html`<small> ${small.filter((part) => part !== null).join(", ")}</small>`;
  return html`<li class="row ${near}${row.place === 0 ? " now" : ""}"><span class="start">${startWords(row)}</span>
    <span class="label"><b>${row.label}</b>${height}</span>
    <span class="who">${near === "you" ? sharedWords(row) : row.who}</span> ${mark(row, near)}</li>`;
}

/** In a column as narrow as a time of day. */
function startWords({ place, start, held }: WireRow): string {
  if (place === 0) return "now";
  if (start !== null) return clockText(start);
  return held ? "held" : "later";
}

function mark({ group }: WireRow, near: Closeness): unknown {
  if (near === "you") return html`<span class="mark you">▶ yours</span>`;
  if (near === "group") return html`<span class="mark group">◆ ${me().group}</span>`;
  return group === null ? nothing : html`<span class="mark">${group}</span>`;
}

function sharedWords({ ids }: WireRow): string {
  return ids.length > 1 ? `shared by ${ids.length}` : "you";
}
