/** The one sheet that opens over the page: forms, large pictures. */
import { button, byId, el } from "./dom.js";

export function openSheet(title: string, ...content: readonly (Node | string)[]): void {
  const head = el("h2", { id: "sheet-head", tabindex: -1, autofocus: true }, title);
  const close = button("Close", closeSheet, { class: "close" });
  byId("sheet-body").replaceChildren(el("div", { class: "sheet-head" }, head, close), ...content);
  const sheet = byId<HTMLDialogElement>("sheet");
  if (!sheet.open) sheet.showModal();
}

export function closeSheet(): void {
  byId<HTMLDialogElement>("sheet").close();
}
