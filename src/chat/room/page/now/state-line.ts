/** The banner for holds, cloud and faults; on a small screen a long reason folds. */
import { html, nothing } from "lit-html";
import { byId, draw } from "../draw/dom.js";
import { heard } from "../heard.js";
import { clockText } from "../time/clock-words.js";
import { stateLines } from "./state-words.js";

/** On a small screen a first line of more characters folds; the caution beneath it never does. */
const LONG_LINE = 90;
const MOST_LINES = 3;

/** Shows it in words and by a sign; hidden when there is nothing to say. */
export function showState(id: "banner" | "wall-banner"): void {
  const banner = byId(id);
  const lines = presentLines();
  const text = lines.join("\n");
  banner.hidden = lines.length === 0;
  if (banner.dataset.text === text) return;
  banner.dataset.text = text;
  banner.classList.remove("whole");
  drawLines(banner, lines);
}

function drawLines(banner: HTMLElement, lines: readonly string[]): void {
  const unfold = (): void => {
    banner.classList.toggle("whole");
    drawLines(banner, lines);
  };
  const isLong = (lines[0]?.length ?? 0) > LONG_LINE || lines.length > MOST_LINES;
  const isWhole = banner.classList.contains("whole");
  draw(
    banner.id,
    html`<div class="lines">${lines.map((line) => html`<p>${line}</p>`)}</div>${
      isLong
        ? html`<button type="button" class="more" aria-expanded=${isWhole} @click=${unfold}>Show all of it</button>`
        : nothing
    }`,
  );
}

/** Its first line, for the strip; empty when there is none. */
export function stateShortly(): string {
  return presentLines()[0] ?? "";
}

function presentLines(): string[] {
  return heard.status ? stateLines(heard.status, clockText) : [];
}
