/** The banner for holds, cloud and faults; on a small screen a long reason folds. */

import { button, el } from "./dom.js";
import { currentStatus } from "./scope.js";
import { bannerLines } from "./state-words.js";
import { clockText } from "./time.js";

/** On a small screen a first line of more characters folds; the caution beneath it never does. */
const LONG_LINE = 90;
const MOST_LINES = 3;

/** Shows it in words and by a sign; hidden when there is nothing to say. */
export function showBanner(banner: HTMLElement): void {
  const lines = presentLines();
  const text = lines.join("\n");
  banner.hidden = lines.length === 0;
  if (banner.dataset.text === text) return;
  banner.dataset.text = text;
  banner.classList.remove("whole");
  const more = button(
    "Show all of it",
    () => more.setAttribute("aria-expanded", String(banner.classList.toggle("whole"))),
    { class: "more", "aria-expanded": "false" },
  );
  const isLong = (lines[0]?.length ?? 0) > LONG_LINE || lines.length > MOST_LINES;
  banner.replaceChildren(
    el("div", { class: "lines" }, ...lines.map((line) => el("p", {}, line))),
    ...(isLong ? [more] : []),
  );
}

/** Its first line, for the strip; empty when there is none. */
export function bannerShortly(): string {
  return presentLines()[0] ?? "";
}

function presentLines(): string[] {
  const status = currentStatus();
  return status ? bannerLines(status, clockText) : [];
}
