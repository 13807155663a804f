/** What must always be in view, in a line or two at the foot of the screen while its section is out of view. */
import { html } from "lit-html";
import { byId, draw } from "../draw/dom.js";
import { heard } from "../heard.js";
import { now } from "../time/clock-words.js";
import { asOf } from "./away.js";
import { nextShortly } from "./next.js";
import { doingWords } from "./scope-words.js";
import { stateShortly } from "./state-line.js";

const WATCHED = ["banner", "next", "scope"] as const;
/** Sections of which some part that matters is out of view. */
const outOfView = new Set<string>();

/** Watches the sections that tell it in full. */
export function startStrip(): void {
  const watch = new IntersectionObserver(
    (seen) => {
      for (const { target, intersectionRatio, intersectionRect, rootBounds } of seen) {
        // A section may be taller than the screen: then filling it is being in view.
        const fills = rootBounds !== null && intersectionRect.height > rootBounds.height * 0.8;
        if (intersectionRatio > 0.6 || fills) outOfView.delete(target.id);
        else outOfView.add(target.id);
      }
      drawStrip();
    },
    { threshold: [0, 0.3, 0.6, 0.61, 0.9] },
  );
  for (const id of WATCHED) watch.observe(byId(id));
}

/** Counts on. */
export function drawStrip(): void {
  const parts = isNeeded() ? stripParts() : [];
  const strip = byId("strip");
  strip.hidden = parts.length === 0;
  document.body.classList.toggle("with-strip", parts.length > 0);
  draw(
    "strip",
    parts.map(([kind, text]) => html`<span class=${kind}>${text}</span>`),
  );
}

function isNeeded(): boolean {
  return WATCHED.some((id) => outOfView.has(id) && !byId(id).hidden);
}

/** Nothing to say but that the telescope is idle is nothing to say. */
function stripParts(): (readonly [kind: string, text: string])[] {
  const { status, own } = heard;
  if (!status) return [];
  const [state, next] = [stateShortly(), nextShortly()];
  const isIdle = status.activity === "idle" || status.activity === "holding";
  const doing = isIdle && (state !== "" || own.length === 0) ? "" : doingWords(status, now());
  const since = next === "" || own[0]?.place === 0 ? asOf() : "";
  const all = [
    ["warn", state],
    ["mine", next],
    ["does", [doing, since].filter(Boolean).join(", ")],
  ] as const;
  return all.filter(([, text]) => text !== "");
}
