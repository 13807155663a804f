/**
 * A notice: something certain people are told, once.
 *
 *   pending ──▶ (parcelled with others for the same place) ──▶ delivered
 *      └──────────────────────────────────────────────────────▶ dropped, with a reason
 *
 * It is stored with the event it follows from, so it exists exactly when the event does.
 */
import type { Button } from "../base/button.js";
import type { Phrase } from "../base/phrase.js";
import type { UtcMillis } from "../base/units.js";
import type { Address, PersonId } from "../queue/request.js";

export type NoticeKind =
  | "taken"
  | "completed"
  | "failed"
  | "cancelled"
  | "restored"
  | "returned"
  | "next"
  | "moved"
  | "hold"
  | "resumed"
  | "announcement"
  | "session"
  | "dusk"
  | "morning"
  | "equipment"
  /** For whoever works the telescope. */
  | "operator";

/** A file that goes with a notice or a reply. */
export interface Attachment {
  /** File name inside the data folder. */
  readonly file: string;
  /** What the picture shows, for someone who cannot see it; null for a file that is no picture. */
  readonly altText: string | null;
}

export interface Notice {
  /** Fixed: entry id, kind and audience, such as "412:completed:terminal:mira". */
  readonly key: string;
  readonly kind: NoticeKind;
  readonly atUnixMs: UtcMillis;
  /** The place it is posted to. */
  readonly to: Address;
  readonly classId: string;
  /** The people it is for; mentioned (or written to directly) according to their own choice. Empty: for the whole class. */
  readonly people: readonly PersonId[];
  /** `class`: everyone in the channel may read it; `person`: only for `people`. */
  readonly audience: "class" | "person";
  readonly title: string;
  readonly lines: readonly Phrase[];
  readonly attachment: Attachment | null;
  /** Posted without sound. */
  readonly quiet: boolean;
  /** The one request that it is about; missing where that is several or none, and in what earlier versions stored. */
  readonly about?: number;
  /** What a thumb can do about it. */
  readonly actions: readonly Button[];
}

/** A notice as stored, with its actions as they are now: earlier versions stored each as a line, "/when 12". */
export function withPresentActions(stored: Notice): Notice {
  if (!stored.actions.some(isLine)) return stored;
  return { ...stored, actions: stored.actions.map((each) => (isLine(each) ? fromLine(each) : each)) };
}

const isLine = ({ command }: Button): boolean => command.startsWith("/");

/** Notices offered three commands then: /when and /withdraw with a number, /request with target, filter, seconds, frames. */
function fromLine(action: Button): Button {
  const [name, ...words] = action.command.slice(1).split(" ");
  const [filter, exposure, frames] = words.splice(Math.max(1, words.length - 3));
  const isWish = name === "request";
  const options = isWish ? { target: words.join(" "), filter, exposure, frames } : { request: words[0] };
  return { ...action, command: name as string, options };
}
