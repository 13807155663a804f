/** Stretches of time, sorted and apart: what is left when several conditions must all hold. */
import type { UtcMillis } from "../base/units.js";

/** From opening to closing, both included. */
export interface Interval {
  readonly openUnixMs: UtcMillis;
  readonly closeUnixMs: UtcMillis;
}

/** Instants that lie in both lists; each list is in order and without overlaps. */
export function inBoth(a: readonly Interval[], b: readonly Interval[]): Interval[] {
  const shared: Interval[] = [];
  for (let i = 0, j = 0; i < a.length && j < b.length; ) {
    const openUnixMs = Math.max(a[i]!.openUnixMs, b[j]!.openUnixMs);
    const closeUnixMs = Math.min(a[i]!.closeUnixMs, b[j]!.closeUnixMs);
    if (openUnixMs <= closeUnixMs) shared.push({ openUnixMs, closeUnixMs });
    if (a[i]!.closeUnixMs < b[j]!.closeUnixMs) i++;
    else j++;
  }
  return shared;
}

/** What is left of intervals after an instant. */
export function remaining(intervals: readonly Interval[], fromUnixMs: UtcMillis): Interval[] {
  return intervals
    .filter((each) => each.closeUnixMs > fromUnixMs)
    .map((each) => ({ ...each, openUnixMs: Math.max(each.openUnixMs, fromUnixMs) }));
}

/** What the outer interval holds besides the inner ones; the pieces share their ends with them. */
export function outside(inner: readonly Interval[], outer: Interval): Interval[] {
  const rest: Interval[] = [];
  let openUnixMs = outer.openUnixMs;
  for (const stretch of inner) {
    if (stretch.openUnixMs > openUnixMs) rest.push({ openUnixMs, closeUnixMs: stretch.openUnixMs });
    openUnixMs = Math.max(openUnixMs, stretch.closeUnixMs);
  }
  if (openUnixMs < outer.closeUnixMs) rest.push({ openUnixMs, closeUnixMs: outer.closeUnixMs });
  return rest;
}

/** All the intervals in order, those that touch made one. */
export function joined(intervals: readonly Interval[]): Interval[] {
  const inOrder = [...intervals].sort((a, b) => a.openUnixMs - b.openUnixMs);
  const whole: Interval[] = [];
  for (const next of inOrder) {
    const last = whole.at(-1);
    if (last !== undefined && next.openUnixMs <= last.closeUnixMs)
      whole[whole.length - 1] = {
        openUnixMs: last.openUnixMs,
        closeUnixMs: Math.max(last.closeUnixMs, next.closeUnixMs),
      };
    else whole.push(next);
  }
  return whole;
}
