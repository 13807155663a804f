/** What the telescope is doing now, with what is left of it. */
import { html } from "lit-html";
import type { WireStatus } from "../../wire.js";
import { draw } from "../draw/dom.js";
import { lineText } from "../draw/lines.js";
import { closeness, heard } from "../heard.js";
import { now } from "../time/clock-words.js";
import { doingWords } from "./scope-words.js";

/** Counts on. */
export function drawScope(id: "scope-body" | "wall-scope"): void {
  const { status } = heard;
  if (!status) return;
  const { what, ids, activity } = status;
  const part = progress(status);
  const forWhom = what === null || activity === "idle" ? "" : `For ${what}`;
  const yours = forWhom !== "" && closeness(ids, []) === "you" ? " — yours" : "";
  draw(
    id,
    html`<p class="doing">${doingWords(status, now())}</p>
      <progress max="1" .value=${part ?? 0} ?hidden=${part === null} aria-label="How far this step is"></progress>
      <p class="for">${forWhom}${yours}</p>
      <p class="conditions">${conditionWords(status)}</p>`,
  );
}

function progress({ since, until, activity }: WireStatus): number | null {
  if (until === null || until <= since || activity === "idle") return null;
  return Math.min(1, Math.max(0, (now() - since) / (until - since)));
}

function conditionWords({ equipment, dark, roof, waitingFor }: WireStatus): string {
  const { dome, camera, sky } = equipment;
  const line = lineText(dark);
  return `${line.charAt(0).toUpperCase()}${line.slice(1)}. ${roof ? "Roof" : "Dome"} ${waitingFor === "shutter" ? "opening" : dome.replace("-", " ")}, camera ${camera}, sky ${sky}.`;
}
