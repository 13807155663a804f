/** Lines of text with times, people and emphasis as nodes of the page. */
import type { WireAction, WireLine } from "../wire.js";
import { button, el } from "./dom.js";
import { me } from "./me.js";
import { timeText } from "./time.js";

/** The nodes of one line. */
export function lineNodes(line: WireLine): (Node | string)[] {
  return line.map((part) => {
    if (typeof part === "string") return part;
    if ("at" in part) return el("time", { datetime: new Date(part.at).toISOString() }, timeText(part));
    if ("who" in part) return part.id === me().id ? el("b", {}, "you") : part.who;
    return el("strong", {}, part.strong);
  });
}

/** The same as plain text. */
export function lineText(line: WireLine): string {
  return lineNodes(line)
    .map((node) => (typeof node === "string" ? node : node.textContent))
    .join("");
}

/** A paragraph for each line. */
export function paragraphs(lines: readonly WireLine[]): HTMLElement[] {
  return lines.filter((line) => line.length > 0).map((line) => el("p", {}, ...lineNodes(line)));
}

/** Buttons for what can be done about it by this reader; null for none. */
export function actionRow(
  actions: readonly WireAction[],
  run: (action: WireAction) => void,
): HTMLElement | null {
  const own = actions.filter((action) => action.onlyFor === null || action.onlyFor === me().id);
  if (own.length === 0) return null;
  const buttons = own.map((action) => button(action.label, () => run(action), { class: "act" }));
  return el("div", { class: "acts" }, ...buttons);
}
