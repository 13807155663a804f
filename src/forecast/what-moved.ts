/**
 * Why estimates moved: at each change the rest of the night is played without it and with it, from where things
 * really stood. What each change did to a request's start adds up to all that has moved it.
 */
import type { Millis, UtcMillis } from "../base/units.js";
import { type Change, type Changed, changesBetween, closedUntil, type NightLook } from "./night-changes.js";
import type { NightInput } from "./night-run.js";
import { nightInSlices } from "./play-night.js";

/** What one change did to one request. */
export interface Effect {
  readonly change: Change;
  /** Later (positive) or earlier by so much; a request without a turn counts as starting at the night's end. */
  readonly byMs: Millis;
  /** Of the requests that joined or left, those that run before this one; all of them when none does. */
  readonly requests: readonly number[];
}

interface Step {
  /** The journal's entry after which it was seen. */
  readonly entry: number;
  readonly change: Change;
  readonly byMs: ReadonlyMap<number, Millis>;
  /** Starts of those that joined (with them) or left (without the change). */
  readonly starts: ReadonlyMap<number, UtcMillis>;
  /** Starts of the others in the same run, as far as they moved. */
  readonly ownStarts: ReadonlyMap<number, UtcMillis>;
}

/** When each request starts in a run; the night's end for those that do not. */
interface Played {
  readonly input: NightInput;
  readonly starts: ReadonlyMap<number, UtcMillis>;
  /** When the first turn begins; Infinity for none. */
  readonly firstUnixMs: UtcMillis;
}

interface Pending {
  readonly entry: number;
  readonly before: NightLook;
  readonly nowUnixMs: UtcMillis;
  readonly changed: readonly Changed[];
}

/** Older changes are forgotten: so many starts that moved are kept, over all changes. */
const MOST_SHIFTS = 500_000;
/** Turns played before a pause. */
export const SLICE = 250;

export class WhatMoved {
  private readonly steps: Step[] = [];
  private shifts = 0;
  private pending: Pending[] = [];
  private latest: Played | null = null;
  private look: NightLook;
  private readonly gone = new Set<number>();

  /** @param sinceEntry the journal's last entry at the first look: what was before it is not known */
  constructor(
    first: NightLook,
    private sinceEntry: number,
  ) {
    this.look = first;
  }

  /** Takes note of how the night stands after an entry of the journal, or later. Plays nothing yet. */
  follow(look: NightLook, entry: number): void {
    const changed = changesBetween(this.look, look, this.gone);
    for (const { change } of changed) {
      if (change.what === "gone") for (const { number } of change.requests) this.gone.add(number);
      if (change.what === "back") for (const { number } of change.requests) this.gone.delete(number);
    }
    this.pending.push({ entry, before: this.look, nowUnixMs: look.input.nowUnixMs, changed });
    this.look = look;
  }

  /** Plays what has been noted, with a pause after each slice of a run. */
  *catchUp(): Generator<undefined, void> {
    for (let next = this.pending.shift(); next !== undefined; next = this.pending.shift())
      yield* this.work(next);
  }

  /** All that moved a request since an entry; null when it is not known so far back. */
  effects(number: number, sinceEntry: number): readonly Effect[] | null {
    if (sinceEntry < this.sinceEntry) return null;
    return this.steps.flatMap((step) => {
      const byMs = step.entry > sinceEntry ? step.byMs.get(number) : undefined;
      return byMs === undefined ? [] : [{ change: step.change, byMs, requests: ahead(step, number) }];
    });
  }

  private *work({ entry, before, nowUnixMs, changed }: Pending): Generator<undefined, void> {
    const night = changed.find(({ change }) => change.what === "night");
    if (night) {
      this.latest = yield* play(night.input);
      return;
    }
    let was = this.latest ?? (yield* play(before.input));
    const passed = passedChange(before, was, nowUnixMs);
    const steps = passed === null ? [] : [{ change: passed, input: { ...before.input, nowUnixMs } }];
    for (const { change, input } of [...steps, ...changed]) {
      const is = yield* play(input);
      this.step(entry, change, was, is);
      was = is;
    }
    this.latest = was;
  }

  private step(entry: number, change: Change, was: Played, is: Played): void {
    const from = change.what === "gone" ? was : is;
    const byMs = new Map<number, Millis>();
    const ownStarts = new Map<number, UtcMillis>();
    for (const { number } of is.input.waiting) {
      if (!was.starts.has(number)) continue;
      const shiftMs = startIn(is, number) - startIn(was, number);
      if (shiftMs === 0) continue;
      byMs.set(number, shiftMs);
      ownStarts.set(number, startIn(from, number));
    }
    if (byMs.size === 0) return;
    const starts = new Map(requestsOf(change).map((number) => [number, startIn(from, number)]));
    this.steps.push({ entry, change, byMs, starts, ownStarts });
    this.shifts += byMs.size;
    while (this.shifts > MOST_SHIFTS && this.steps.length > 1) this.forgetOldest();
  }

  private forgetOldest(): void {
    const { entry, byMs } = this.steps.shift() as Step;
    this.shifts -= byMs.size;
    this.sinceEntry = entry;
  }
}

function ahead({ starts, ownStarts }: Step, number: number): readonly number[] {
  const own = ownStarts.get(number) ?? Number.POSITIVE_INFINITY;
  const before = [...starts].filter(([, unixMs]) => unixMs < own).map(([each]) => each);
  return before.length > 0 ? before : [...starts.keys()];
}

function requestsOf(change: Change): readonly number[] {
  return "requests" in change ? change.requests.map(({ number }) => number) : [];
}

/** Between two looks the first turn was due, and nothing was taken. */
function passedChange({ input, closing }: NightLook, was: Played, nowUnixMs: UtcMillis): Change | null {
  const lostMs = nowUnixMs - Math.max(was.firstUnixMs, input.nowUnixMs);
  if (lostMs <= 0) return null;
  if (closing !== null) return closedUntil(closing, nowUnixMs);
  return input.current === null ? { what: "idle", forMs: lostMs } : { what: "pace", byMs: lostMs };
}

function* play(input: NightInput): Generator<undefined, Played> {
  const { turns } = yield* nightInSlices(input, SLICE);
  yield;
  const starts = new Map<number, UtcMillis>(input.waiting.map(({ number }) => [number, input.untilUnixMs]));
  for (const { number, takenUnixMs } of turns) starts.set(number, takenUnixMs);
  return { input, starts, firstUnixMs: turns[0]?.takenUnixMs ?? Number.POSITIVE_INFINITY };
}

function startIn({ starts, input }: Played, number: number): UtcMillis {
  return starts.get(number) ?? input.untilUnixMs;
}
