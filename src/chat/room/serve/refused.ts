/** Answers to what is not looked at: a page that asked something is always told, under its question's id. */
import { wireReply } from "../live/to-wire.js";
import type { ClientMessage, ServerMessage } from "../wire.js";

export const STILL_BUSY = "One moment: your earlier questions are still being answered. Then ask again.";
const TOO_FAST = "Slow down a little: that was too fast, so nothing was done. Ask it again.";

/** A reply that says why nothing was done. */
export function refusal(id: string, title: string): ServerMessage {
  const reply = wireReply({ tone: "refused", title, lines: [] }, String, String);
  return { t: "reply", id, reply };
}

/** The answer to a message that came too fast after others. */
export function notSoFast(message: ClientMessage): ServerMessage {
  if (message.t === "line" || message.t === "run") return refusal(message.id, TOO_FAST);
  if (message.t === "suggest") return { t: "suggestions", id: message.id, items: [] };
  return { t: "trouble", text: TOO_FAST };
}
