/** What matters most in one line, kept in view while the reader scrolls further down. */
import { byId, setText } from "./dom.js";
import { nextShortly } from "./next.js";
import { currentStatus } from "./scope.js";
import { doingWords } from "./scope-words.js";
import { now } from "./time.js";

/** Shows the strip whenever the telescope's section is out of sight. */
export function startStrip(): void {
  const watch = new IntersectionObserver(([seen]) => {
    byId("strip").hidden = seen === undefined || seen.isIntersecting || seen.boundingClientRect.top > 0;
    tickStrip();
  });
  watch.observe(byId("scope"));
}

/** Counts on. */
export function tickStrip(): void {
  const strip = byId("strip");
  const status = currentStatus();
  if (strip.hidden || !status) return;
  const hold = status.hold ? `On hold: ${status.hold.reason}` : "";
  setText(
    strip,
    [hold, nextShortly(), doingWords(status, now())].filter((each) => each !== "").join("  ·  "),
  );
}
