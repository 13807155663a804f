/** Frames: preview, what it is, its verdict, the full file to take away. */
import type { WireFrame } from "../wire.js";
import { byId, el } from "./dom.js";
import { openSheet } from "./sheet.js";

/** The reader's newest frames. */
export function showFrames(frames: readonly WireFrame[]): void {
  const body = byId("frames-body");
  if (frames.length === 0) {
    body.replaceChildren(el("p", { class: "quiet" }, "Your frames appear here as they are taken."));
    return;
  }
  body.replaceChildren(
    el("ul", { class: "frames" }, ...frames.map((frame) => el("li", {}, frameCard(frame)))),
  );
}

export function frameCard(frame: WireFrame): HTMLElement {
  const { number, index, target, what, verdict, usable, simulated } = frame;
  const address = `/frame/${number}/${index}`;
  const words = verdict ?? "not judged yet";
  const alt = `${simulated ? "Simulated frame" : "Frame"} of ${target}; ${words}`;
  const image = el("img", { src: `${address}.png`, alt, loading: "lazy", width: 120, height: 120 });
  const open = el("button", { type: "button", class: "thumb", "aria-label": `Enlarge: ${alt}` }, image);
  open.addEventListener("click", () => enlarge(frame, alt));
  return el(
    "figure",
    { class: "frame" },
    frame.preview ? open : null,
    el(
      "figcaption",
      {},
      el("b", {}, `#${number} ${target}`),
      el("span", {}, what),
      el("span", { class: usable ? "verdict good" : "verdict" }, `${usable ? "✓" : "✕"} ${words}`),
      simulated ? el("span", { class: "simulated" }, "SIMULATED") : null,
      frame.full
        ? el("a", { href: `${address}.fits`, download: true, class: "act" }, "Full frame (FITS)")
        : null,
    ),
  );
}

function enlarge({ number, index, target }: WireFrame, alt: string): void {
  openSheet(`#${number} ${target}`, el("img", { src: `/frame/${number}/${index}.png`, alt, class: "large" }));
}
