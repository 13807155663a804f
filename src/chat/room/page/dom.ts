/** Builds elements from data. Text only ever becomes text: nothing here reads markup. */

type Child = Node | string | null;
type Attributes = Readonly<Record<string, string | number | boolean | null>>;

/** An element with attributes (null and false are left out) and children. */
export function el<Tag extends keyof HTMLElementTagNameMap>(
  tag: Tag,
  attributes: Attributes = {},
  ...children: readonly Child[]
): HTMLElementTagNameMap[Tag] {
  const element = document.createElement(tag);
  fill(element, attributes, children);
  return element;
}

/** The same for a drawing. */
export function svg(tag: string, attributes: Attributes = {}, ...children: readonly Child[]): SVGElement {
  const element = document.createElementNS("http://www.w3.org/2000/svg", tag);
  fill(element, attributes, children);
  return element;
}

/** The element of index.html with this id. */
export function byId<Kind extends HTMLElement = HTMLElement>(id: string): Kind {
  const found = document.getElementById(id);
  if (!found) throw new Error(`index.html has no #${id}`);
  return found as Kind;
}

/** A button that does something. */
export function button(text: string, onPress: () => void, attributes: Attributes = {}): HTMLButtonElement {
  const made = el("button", { type: "button", ...attributes }, text);
  made.addEventListener("click", onPress);
  return made;
}

/** Sets text only when it differs, so that a screen reader hears a change once. */
export function setText(element: Element, text: string): void {
  if (element.textContent !== text) element.textContent = text;
}

function fill(element: Element, attributes: Attributes, children: readonly Child[]): void {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === false) continue;
    element.setAttribute(name, value === true ? "" : String(value));
  }
  element.append(...children.filter((child): child is Node | string => child !== null));
}
