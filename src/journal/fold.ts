/** How entries add up to the state. The same entries in the same order give the same state, always. */
import { DAY, type UtcMillis } from "../base/units.js";
import type { Draft, Folds } from "./draft.js";
import type { Entry, NightslateEvent } from "./events.js";
import { nightFolds } from "./fold-night.js";
import { peopleFolds } from "./fold-people.js";
import { forgetOldCancels, requestFolds } from "./fold-requests.js";
import { objectionTo } from "./transitions.js";

export { emptyState } from "./draft.js";

type AnyFold = (draft: Draft, event: NightslateEvent, atUnixMs: UtcMillis) => void;

/** Changes with every change of meaning below, so that snapshots made by another version are not believed. */
export const FOLD_VERSION = 8;

/** A repeated call is recognised for this long. */
const ONCE_KEPT = DAY;

const FOLDS: Folds = { ...requestFolds, ...peopleFolds, ...nightFolds };

/**
 * Folds one entry into the state. Never fails: an event that cannot follow in this state (it is refused when
 * decided, so only damage to the journal leaves one behind) is passed over.
 * @returns how many events were passed over
 */
export function applyEntry(draft: Draft, entry: Entry): number {
  let passedOver = 0;
  for (const event of entry.events) {
    if (objectionTo(draft, event) === null) applyEvent(draft, event, entry.atUnixMs);
    else passedOver++;
  }
  applyEnvelope(draft, entry);
  for (const notice of entry.notices) draft.outbox.set(notice.key, notice);
  return passedOver;
}

/** Folds one event that `objectionTo` has let pass. An event type this version does not know changes nothing. */
export function applyEvent(draft: Draft, event: NightslateEvent, atUnixMs: UtcMillis): void {
  const fold = FOLDS[event.type] as AnyFold | undefined;
  fold?.(draft, event, atUnixMs);
}

/** Folds what an entry is, apart from its events and notices: its id, time and once key. */
export function applyEnvelope(draft: Draft, entry: Omit<Entry, "notices">): void {
  draft.lastEntryId = entry.id;
  draft.lastEntryUnixMs = entry.atUnixMs;
  forgetOldCancels(draft, entry.atUnixMs);
  if (entry.onceKey !== null) {
    draft.onceKeys.set(entry.onceKey, entry.id);
    draft.onceTimes.set(entry.onceKey, entry.atUnixMs);
  }
  for (const [onceKey, usedUnixMs] of draft.onceTimes) {
    if (usedUnixMs >= entry.atUnixMs - ONCE_KEPT) break;
    draft.onceTimes.delete(onceKey);
    draft.onceKeys.delete(onceKey);
  }
}
