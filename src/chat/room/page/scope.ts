/** What the telescope is doing now, with what is left of it; the hold and cloud banner. */
import type { WireStatus } from "../wire.js";
import { byId, el, setText } from "./dom.js";
import { lineText } from "./lines.js";
import { closeness } from "./me.js";
import { doingWords } from "./scope-words.js";
import { clockText, now } from "./time.js";

let status: WireStatus | null = null;

export function showStatus(fresh: WireStatus): void {
  status = fresh;
  tickScope();
  showBanner(fresh, byId("banner"));
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

/** Shows a hold, cloud or fault in words and by a sign; hidden when there is none. */
export function showBanner({ hold, equipment }: WireStatus, banner: HTMLElement): void {
  const lines: string[] = [];
  if (hold) {
    const until = hold.until === null ? "until staff resume" : `until ${clockText(hold.until)}`;
    lines.push(`On hold ${until}: ${hold.reason}`);
    lines.push(
      "No new request is taken. This is software, no interlock: follow the site's lock-out procedure.",
    );
  }
  if (equipment.sky === "cloud") lines.push("Cloud reported: frames may show little.");
  if (equipment.telescope === "fault") lines.push("The telescope reports a fault.");
  if (equipment.dome === "fault") lines.push("The dome reports a fault.");
  if (equipment.camera !== "fitted") lines.push(`Camera ${equipment.camera}: frames are not real.`);
  const text = lines.join("\n");
  banner.hidden = lines.length === 0;
  if (banner.dataset.text === text) return;
  banner.dataset.text = text;
  banner.replaceChildren(...lines.map((line) => el("p", {}, line)));
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
