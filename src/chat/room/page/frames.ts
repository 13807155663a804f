/** Frames: preview, what it is, its verdict, the full file to take away. */
import type { WireFrame } from "../wire.js";
import { byId, el } from "./dom.js";
import { redraw } from "./redraw.js";
import { openSheet } from "./sheet.js";

/** The reader's newest frames. */
export function showFrames(frames: readonly WireFrame[]): void {
  const none = el("p", { class: "quiet" }, "Your frames appear here as they are taken.");
  redraw(byId("frames-body"), [frames.length === 0 ? none : frameList(frames)]);
}

/** Frames as a list. */
export function frameList(frames: readonly WireFrame[]): HTMLElement {
  const items = frames.map((frame) =>
    el("li", { "data-key": `${frame.number}-${frame.index}` }, frameCard(frame)),
  );
  return el("ul", { class: "frames" }, ...items);
}

export function frameCard(frame: WireFrame): HTMLElement {
  const { number, index, target, what, verdict, usable, simulated } = frame;
  const address = `/frame/${number}/${index}`;
  const words = verdict ?? "not judged yet";
  const sign = verdict === null ? "…" : usable ? "✓" : "✕";
  const alt = `${simulated ? "Simulated frame" : "Frame"} of ${target}; ${words}`;
  const image = el("img", { src: `${address}.png`, alt, loading: "lazy", width: 120, height: 120 });
  const open = el("button", { type: "button", class: "thumb", "aria-label": `Enlarge: ${alt}` }, image);
  open.addEventListener("click", () => enlarge(`#${number} ${target}`, image));
  return el(
    "figure",
    { class: "frame" },
    frame.preview ? open : null,
    el(
      "figcaption",
      {},
      el("b", {}, `#${number} ${target}`),
      el("span", {}, what),
      el("span", { class: usable ? "verdict good" : "verdict" }, `${sign} ${words}`),
      simulated ? el("span", { class: "simulated" }, "SIMULATED") : null,
      frame.full
        ? el("a", { href: `${address}.fits`, download: true, class: "act" }, "Full frame (FITS)")
        : null,
    ),
  );
}

function enlarge(title: string, { src, alt }: HTMLImageElement): void {
  openSheet(title, el("img", { src, alt, class: "large" }));
}
