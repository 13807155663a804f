/** What the server has said last, for every part of the page to show. */
import type { ServerMessage, WireHello, WireOwn, WireStatus } from "../wire.js";

type Said<T extends ServerMessage["t"]> = Extract<ServerMessage, { t: T }>;
export type Order = Said<"order">;

export const heard: {
  hello: WireHello | null;
  status: WireStatus | null;
  sky: Said<"sky"> | null;
  stars: Said<"stars"> | null;
  /** The reader's requests, first to run first. */
  own: readonly WireOwn[];
} = { hello: null, status: null, sky: null, stars: null, own: [] };

export function me(): WireHello["me"] {
  return heard.hello?.me ?? { id: "", name: "", role: "student", group: null };
}

export type Closeness = "you" | "group" | "other";

/** Whether something of these people is the reader's, the reader's group's, or neither. */
export function closeness(ids: readonly string[], groups: readonly (string | null)[]): Closeness {
  if (ids.includes(me().id)) return "you";
  return me().group !== null && groups.includes(me().group) ? "group" : "other";
}
