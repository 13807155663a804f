/** Brings what is shown up to date without taking away what stays: the focus and a screen reader's place survive. */

/**
 * Makes `parent` hold `fresh`. What is alike is kept and changed in place only where it differs; elements that
 * carry a `data-key` are the same thing when the key is, wherever they stand. Listeners of kept elements stay,
 * those of their new counterparts are lost: a listener must read what it needs from its element.
 */
export function redraw(parent: Element, fresh: readonly (Node | string)[]): void {
  const wanted = fresh.map((each) => (typeof each === "string" ? document.createTextNode(each) : each));
  const keys = new Set(wanted.map(keyOf));
  for (const child of [...parent.childNodes]) {
    const key = keyOf(child);
    if (key !== null && !keys.has(key)) child.remove();
  }
  wanted.forEach((node, place) => {
    const present = parent.childNodes[place] ?? null;
    const kept = counterpart(parent, node, present);
    if (kept === null) parent.insertBefore(node, present);
    else {
      if (kept !== present) parent.insertBefore(kept, present);
      bringUpToDate(kept, node);
    }
  });
  while (parent.childNodes.length > wanted.length) parent.lastChild?.remove();
}

function counterpart(parent: Element, node: Node, present: Node | null): Node | null {
  const key = keyOf(node);
  const found = key === null ? present : ([...parent.children].find((each) => keyOf(each) === key) ?? null);
  return found !== null && keyOf(found) === key && found.nodeName === node.nodeName ? found : null;
}

function bringUpToDate(kept: Node, fresh: Node): void {
  if (!(kept instanceof Element) || !(fresh instanceof Element)) {
    if (kept.nodeValue !== fresh.nodeValue) kept.nodeValue = fresh.nodeValue;
    return;
  }
  for (const name of kept.getAttributeNames()) if (!fresh.hasAttribute(name)) kept.removeAttribute(name);
  for (const { name, value } of [...fresh.attributes]) {
    if (kept.getAttribute(name) !== value) kept.setAttribute(name, value);
  }
  redraw(kept, [...fresh.childNodes]);
}

function keyOf(node: Node): string | null {
  return node instanceof Element ? node.getAttribute("data-key") : null;
}
