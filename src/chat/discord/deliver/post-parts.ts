/** Posts the messages of a parcel that do not stand yet. */
import type { UtcMillis } from "../../../base/units.js";
import type { Notice } from "../../../journal/notice.js";
import type { Api } from "../api.js";
import { explain, type Fault } from "../errors.js";
import { findMarked } from "./look-back.js";
import type { Part } from "./render-notice.js";

/** What is known of a parcel's trials so far; changed as they go. */
export interface Trip {
  /** Some of it may stand already: look before posting. */
  maybeSent: boolean;
  /** Nothing of it can be older. */
  readonly sinceUnixMs: UtcMillis;
  /** Posts with files of which nothing was heard. */
  lostUploads: number;
}

/** How it went. */
export interface Posted {
  /** The first message; null when none was taken. */
  readonly messageId: string | null;
  /** Notices that the platform took to be malformed. */
  readonly refused: readonly { readonly notice: Notice; readonly fault: Fault }[];
}

/**
 * Posts in order, each message once.
 * @throws what the API throws, but for a message it takes to be malformed
 */
export async function postParts(
  api: Api,
  parts: readonly Part[],
  channelId: string,
  trip: Trip,
): Promise<Posted> {
  const marks = new Set(parts.map((part) => part.nonce));
  const standing = trip.maybeSent
    ? await findMarked(api, channelId, marks, trip.sinceUnixMs)
    : new Map<string, string>();
  const refused: { notice: Notice; fault: Fault }[] = [];
  let messageId: string | null = null;
  for (const { nonce, message, notices } of parts) {
    try {
      const id = standing.get(nonce) ?? (await api.post(channelId, message, nonce));
      messageId ??= id;
    } catch (error) {
      const fault = explain(error);
      if (message.files.length > 0 && fault.kind === "uncertain") trip.lostUploads += 1;
      if (fault.kind !== "ours" || notices.length === 0) throw error;
      refused.push(...notices.map((notice) => ({ notice, fault })));
    }
  }
  return { messageId, refused };
}
