/** Who the reader is and where they are, as the server said at the greeting. */
import type { WireHello } from "../wire.js";

let hello: WireHello | null = null;

export function setHello(greeting: WireHello): void {
  hello = greeting;
}

export function me(): WireHello["me"] {
  return hello?.me ?? { id: "", name: "", role: "student", group: null };
}

export function greeting(): WireHello | null {
  return hello;
}

/** Whether something of these people is the reader's, the reader's group's, or neither. */
export function closeness(
  ids: readonly string[],
  groups: readonly (string | null)[],
): "you" | "group" | "other" {
  if (ids.includes(me().id)) return "you";
  return me().group !== null && groups.includes(me().group) ? "group" : "other";
}
