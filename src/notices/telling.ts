/** What is to be told, before it is known where and how loudly. */
import type { Button } from "../base/button.js";
import type { Phrase } from "../base/phrase.js";
import type { UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import type { Entry, EventType, FrameRecord, Happened } from "../journal/events.js";
import type { Attachment, Notice, NoticeKind } from "../journal/notice.js";
import type { State } from "../journal/state.js";
import type { Venues } from "./venues.js";

/** The content of a notice. */
export interface Telling {
  readonly kind: NoticeKind;
  /** Readable on its own: it is all that bystanders may be shown. No names in it. */
  readonly title: string;
  readonly lines: readonly Phrase[];
  readonly attachment?: Attachment | null;
  readonly actions?: readonly Button[];
}

/** What a notice is derived from. */
export interface Occasion {
  readonly entry: Omit<Entry, "notices">;
  readonly atUnixMs: UtcMillis;
  readonly before: State;
  readonly after: State;
  readonly config: Config;
  readonly venues: Venues;
}

/** The notices that follow from each type of event; the types that nobody is told of are left out. */
export type Handlers = {
  readonly [Type in EventType]?: (occasion: Occasion, event: Happened<Type>) => readonly Notice[];
};

/** The frames of a request, first to last. */
export function framesOf({ after }: Occasion, number: number): readonly FrameRecord[] {
  return [...(after.frames.get(number) ?? [])].sort((a, b) => a.index - b.index);
}
