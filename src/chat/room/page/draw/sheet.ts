/** The one sheet that opens over the page: forms, large pictures. */
import { html, nothing } from "lit-html";
import { button, byId, draw } from "./dom.js";

/** Opens it with something new: nothing of what it held before is kept. */
export function openSheet(title: string, content: unknown): void {
  draw("sheet-body", nothing);
  drawSheet(title, content);
  const sheet = byId<HTMLDialogElement>("sheet");
  if (!sheet.open) sheet.showModal();
}

/** Brings what it holds up to date. */
export function drawSheet(title: string, content: unknown): void {
  draw(
    "sheet-body",
    html`<div class="sheet-head"><h2 id="sheet-head" tabindex="-1" autofocus>${title}</h2>${button("Close", closeSheet, "close")}</div>${content}`,
  );
}

export function closeSheet(): void {
  byId<HTMLDialogElement>("sheet").close();
}

/** Times the sheet's width. */
const STEPS = [1, 1.6, 2.5, 4] as const;
/** A chart's letters can be read from this width on, pixels. */
const LEGIBLE_WIDTH = 780;

/** Opens a picture at a size at which it can be read; it scrolls in its own box. */
export function openPicture(title: string, src: string, alt: string): void {
  const show = (step: number): unknown => {
    const size = (text: string, next: number) =>
      html`<button type="button" class="act" ?disabled=${STEPS[next] === undefined}
        @click=${() => drawSheet(title, show(next))}>${text}</button>`;
    return html`<div class="acts">${size("Larger", step + 1)}${size("Smaller", step - 1)}</div>
      <div class="zoom" tabindex="0" role="group" aria-label="Picture, scrolls"
        ><img class="large" src=${src} alt=${alt} .style=${`width: ${(STEPS[step] ?? 1) * 100}%`}></div>`;
  };
  openSheet(title, show(0));
  const width = byId("sheet-body").querySelector(".zoom")?.clientWidth ?? 0;
  const legible = STEPS.findIndex((each) => each >= LEGIBLE_WIDTH / Math.max(1, width));
  drawSheet(title, show(legible === -1 ? STEPS.length - 1 : legible));
}
