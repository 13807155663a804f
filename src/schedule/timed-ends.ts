/** Holds and class sessions that were given an end. */
import type { UtcMillis } from "../base/units.js";
import type { NightslateEvent } from "../journal/events.js";
import type { State } from "../journal/state.js";

/** An end that was agreed on, and what happens then. */
export interface TimedEnd {
  readonly atUnixMs: UtcMillis;
  readonly event: NightslateEvent;
}

/** All agreed ends, the earliest first. */
export function timedEnds({ hold, sessions }: State): readonly TimedEnd[] {
  const ends: TimedEnd[] = [];
  const heldUntil = hold?.untilUnixMs ?? null;
  if (heldUntil !== null) ends.push({ atUnixMs: heldUntil, event: { type: "hold.lifted", by: null } });
  for (const [classId, { untilUnixMs }] of sessions) {
    if (untilUnixMs === null) continue;
    ends.push({ atUnixMs: untilUnixMs, event: { type: "session.closed", classId, by: null } });
  }
  return ends.sort((a, b) => a.atUnixMs - b.atUnixMs);
}
