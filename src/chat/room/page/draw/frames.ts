/** Frames: preview, what it is, its verdict, the full file to take away. */
import { html, nothing } from "lit-html";
import { repeat } from "lit-html/directives/repeat.js";
import type { WireFrame } from "../../wire.js";
import { draw } from "./dom.js";
import { openSheet } from "./sheet.js";

/** The reader's newest frames. */
export function showFrames(frames: readonly WireFrame[]): void {
  const none = html`<p class="quiet">Your frames appear here as they are taken.</p>`;
  draw("frames-body", frames.length === 0 ? none : frameList(frames));
}

/** Frames as a list. */
export function frameList(frames: readonly WireFrame[]): unknown {
  const key = ({ number, index }: WireFrame): string => `${number}-${index}`;
  return html`<ul class="frames">${repeat(frames, key, (frame) => html`<li>${frameCard(frame)}</li>`)}</ul>`;
}

export function frameCard(frame: WireFrame): unknown {
  const { number, index, target, what, verdict, usable, simulated } = frame;
  const address = `/frame/${number}/${index}`;
  const words = verdict ?? "not judged yet";
  const sign = verdict === null ? "…" : usable ? "✓" : "✕";
  const alt = `${simulated ? "Simulated frame" : "Frame"} of ${target}; ${words}`;
  const enlarge = (): void =>
    openSheet(`#${number} ${target}`, html`<img src="${address}.png" alt=${alt} class="large">`);
  const preview = html`<button type="button" class="thumb" aria-label="Enlarge: ${alt}" @click=${enlarge}
    ><img src="${address}.png" alt=${alt} loading="lazy" width="120" height="120"></button>`;
  const full = html`<a href="${address}.fits" download class="act">Full frame (FITS)</a>`;
  return html`<figure class="frame">${frame.preview ? preview : nothing}<figcaption><b>#${number} ${target}</b>
    <span>${what}</span><span class="verdict ${usable ? "good" : ""}">${sign} ${words}</span>
    ${simulated ? html`<span class="simulated">SIMULATED</span>` : nothing}${frame.full ? full : nothing}</figcaption></figure>`;
}
