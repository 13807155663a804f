/** Lines of text with times, people and emphasis. */
import { html, nothing } from "lit-html";
import type { WireAction, WireLine, WirePart } from "../../wire.js";
import { me } from "../heard.js";
import { timeText } from "../time/clock-words.js";
import { button } from "./dom.js";

/** What is drawn for one line. */
export function lineView(line: WireLine): unknown[] {
  return line.map((part) => {
    const text = partText(part);
    if (typeof part === "string") return text;
    if ("at" in part) return html`<time datetime=${new Date(part.at).toISOString()}>${text}</time>`;
    if ("who" in part) return part.id === me().id ? html`<b>${text}</b>` : text;
    return html`<strong>${text}</strong>`;
  });
}

/** The same as plain text. */
export function lineText(line: WireLine): string {
  return line.map(partText).join("");
}

/** A paragraph for each line. */
export function paragraphs(lines: readonly WireLine[]): unknown[] {
  return lines.filter((line) => line.length > 0).map((line) => html`<p>${lineView(line)}</p>`);
}

/** Buttons for what can be done about it by this reader. */
export function actionRow(actions: readonly WireAction[], run: (action: WireAction) => void): unknown {
  const own = actions.filter((action) => action.onlyFor === null || action.onlyFor === me().id);
  if (own.length === 0) return nothing;
  return html`<div class="acts">${own.map((action) => button(action.label, () => run(action)))}</div>`;
}

function partText(part: WirePart): string {
  if (typeof part === "string") return part;
  if ("at" in part) return timeText(part);
  if ("who" in part) return part.id === me().id ? "you" : part.who;
  return part.strong;
}
