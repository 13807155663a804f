/** Notices as the outbox hands them over. */
import { say } from "../../../src/base/phrase.js";
import type { Parcel } from "../../../src/chat/surface.js";
import type { Notice } from "../../../src/journal/notice.js";
import { START } from "./set-up.js";
import type { Channel } from "./stand-in/world.js";

let count = 0;

/** A notice to a class channel; each has a key of its own. */
export function noticeFor(channel: Channel, rest: Partial<Notice> = {}): Notice {
  count += 1;
  return {
    key: `${count}:taken:evening-2`,
    kind: "taken",
    atUnixMs: START,
    to: { surface: "discord", channel: channel.id },
    classId: "evening-2",
    people: [],
    audience: "class",
    title: `#${count} M13: taken`,
    lines: [say`The telescope is moving.`],
    attachment: null,
    quiet: false,
    actions: [],
    ...rest,
  };
}

export function parcelOf(...notices: readonly Notice[]): Parcel {
  const [first] = notices;
  if (!first) throw new Error("a parcel holds at least one notice");
  const key = notices.length === 1 ? first.key : `${first.key}+${notices.length - 1}`;
  return { key, to: first.to, notices, maybeSent: false };
}
