/** What must always be in view, in a line or two at the foot of the screen while its section is out of view. */
import { asOf } from "./away.js";
import { byId, el } from "./dom.js";
import { nextShortly, ownRequests } from "./next.js";
import { redraw } from "./redraw.js";
import { currentStatus } from "./scope.js";
import { doingWords } from "./scope-words.js";
import { bannerShortly } from "./state-line.js";
import { now } from "./time.js";

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
      tickStrip();
    },
    { threshold: [0, 0.3, 0.6, 0.61, 0.9] },
  );
  for (const id of WATCHED) watch.observe(byId(id));
}

/** Counts on. */
export function tickStrip(): void {
  const parts = isNeeded() ? stripParts() : [];
  const strip = byId("strip");
  strip.hidden = parts.length === 0;
  document.body.classList.toggle("with-strip", parts.length > 0);
  redraw(
    strip,
    parts.map(([kind, text]) => el("span", { class: kind }, text)),
  );
}

function isNeeded(): boolean {
  return WATCHED.some((id) => outOfView.has(id) && !byId(id).hidden);
}

/** Nothing to say but that the telescope is idle is nothing to say. */
function stripParts(): (readonly [kind: string, text: string])[] {
  const status = currentStatus();
  if (!status) return [];
  const [banner, next] = [bannerShortly(), nextShortly()];
  const isIdle = status.activity === "idle" || status.activity === "holding";
  const doing = isIdle && (banner !== "" || ownRequests().length === 0) ? "" : doingWords(status, now());
  const since = next === "" || ownRequests()[0]?.place === 0 ? asOf() : "";
  const all = [
    ["warn", banner],
    ["mine", next],
    ["does", [doing, since].filter(Boolean).join(", ")],
  ] as const;
  return all.filter(([, text]) => text !== "");
}
