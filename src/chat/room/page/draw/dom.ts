/** The elements of index.html, and what is drawn into them: templates, in which text only ever becomes text. */
import { html, render, type TemplateResult } from "lit-html";

/** The element of index.html with this id. */
export function byId<Kind extends HTMLElement = HTMLElement>(id: string): Kind {
  const found = document.getElementById(id);
  if (!found) throw new Error(`index.html has no #${id}`);
  return found as Kind;
}

/** Brings an element up to date: only what differs is touched, so focus and a screen reader's place survive. */
export function draw(id: string, content: unknown): void {
  render(content, byId(id));
}

/** Sets text only when it differs, so that a screen reader hears a change once. */
export function setText(element: Element, text: string): void {
  if (element.textContent !== text) element.textContent = text;
}

/** A button that does something. */
export function button(text: unknown, onPress: () => void, kind = "act"): TemplateResult {
  return html`<button type="button" class=${kind} @click=${onPress}>${text}</button>`;
}

/** Calls `act` instead of leaving the page when a form is sent. */
export function onSubmit(act: (form: HTMLFormElement) => void): (event: Event) => void {
  return (event) => {
    event.preventDefault();
    act(event.currentTarget as HTMLFormElement);
  };
}

/** One of several large choices to press, of which a form sends one. */
export function chip(
  id: string,
  label: string,
  radio: {
    readonly name: string;
    readonly value?: string;
    readonly checked?: boolean;
    readonly required?: boolean;
    readonly onChoose?: () => void;
  },
): TemplateResult {
  const { name, value = "on", checked = false, required = false, onChoose } = radio;
  return html`<span class="chip"><input type="radio" id=${id} name=${name} value=${value} ?checked=${checked}
    ?required=${required} @change=${onChoose}><label for=${id}>${label}</label></span>`;
}

/** What a picker offers first. */
export const FITS = ".fits,.fit,.fts,.gz";

/** Something like a button that lets files be chosen, and does something with them at once. */
export function filePicker(text: string, onChosen: (files: readonly File[]) => void): TemplateResult {
  const chosen = ({ currentTarget }: Event): void => {
    const input = currentTarget as HTMLInputElement;
    const files = [...(input.files ?? [])];
    input.value = "";
    if (files.length > 0) onChosen(files);
  };
  return html`<label class="act picker">${text}<input type="file" multiple accept=${FITS} @change=${chosen}></label>`;
}
