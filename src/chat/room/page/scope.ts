/** What the telescope is doing now, with what is left of it. */
import type { WireStatus } from "../wire.js";
import { byId, el, setText } from "./dom.js";
import { lineText } from "./lines.js";
import { closeness } from "./me.js";
import { doingWords } from "./scope-words.js";
import { now } from "./time.js";

let status: WireStatus | null = null;

export function setStatus(fresh: WireStatus): void {
  status = fresh;
}

export function currentStatus(): WireStatus | null {
  return status;
}

/** Counts on. */
export function tickScope(into: HTMLElement = byId("scope-body")): void {
  if (!status) return;
  const { what, ids, activity } = status;
  if (into.childElementCount === 0) {
    const bar = el("progress", { max: 1, value: 0, "aria-label": "How far this step is" });
    into.append(
      el("p", { class: "doing" }),
      bar,
      el("p", { class: "for" }),
      el("p", { class: "conditions" }),
    );
  }
  const [doing, bar, forWhom, conditions] = into.children as unknown as [
    Element,
    HTMLProgressElement,
    Element,
    Element,
  ];
  setText(doing, doingWords(status, now()));
  const part = progress(status);
  bar.hidden = part === null;
  if (part !== null) bar.value = part;
  const yours = closeness(ids, []) === "you" ? " — yours" : "";
  setText(forWhom, what === null || activity === "idle" ? "" : `For ${what}${yours}`);
  setText(conditions, conditionWords(status));
}

function progress({ since, until, activity }: WireStatus): number | null {
  if (until === null || until <= since || activity === "idle") return null;
  return Math.min(1, Math.max(0, (now() - since) / (until - since)));
}

function conditionWords({ equipment, dark }: WireStatus): string {
  const { dome, camera, sky } = equipment;
  const line = lineText(dark);
  return `${line.charAt(0).toUpperCase()}${line.slice(1)}. Dome ${dome}, camera ${camera}, sky ${sky}.`;
}
