/** Follows the night as the journal tells it, and finds what moved an estimate by playing it again. */

import type { Clock } from "../base/clock.js";
import { MINUTE, type Millis, type UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import { causesOf, type MoveCause } from "../forecast/move-cause.js";
import type { Closing, NightLook } from "../forecast/night-changes.js";
import type { NightInput } from "../forecast/night-run.js";
import { arrivalEffects } from "../forecast/unmet-arrivals.js";
import { SLICE, WhatMoved } from "../forecast/what-moved.js";
import type { Desk } from "../journal/desk.js";
import type { Entry } from "../journal/events.js";
import { heldBy } from "../journal/held-by.js";
import type { Learning } from "./learning.js";
import type { UnexplainedMove } from "./moves.js";
import { NEXT_WITHIN } from "./next-in-line.js";
import { nightInput } from "./night-input.js";
import { otherWork } from "./other-work.js";
import { type QueueMark, queueMark, sameMark } from "./queue-mark.js";

export interface MoveExplainerParts {
  readonly desk: Desk;
  readonly learning: Learning;
  readonly config: Config;
  readonly clock: Clock;
}

/*
 * The sizes below keep a look within what one core can spare between two answers: a run of 300 and of 10,000 requests
 * is timed by `npm run bench -- --only central`, and a run by chance costs about the same. The shares and spans are our
 * own choice, no source: too small a share names what did too little, too large a one names nothing. They were judged
 * on the evenings of tests/estimates/moves.test.ts, which fail when a false cause is named, a true one is not, or
 * anyone is told of nothing: `npx vitest run --config tests/vitest.config.ts tests/estimates/moves.test.ts`.
 */

/**
 * Longer queues are not played again at each change: all that happened between two looks is found together, so that
 * a class that asks all at once costs a run for each look, not for each request.
 */
const LONGEST_QUEUE = 600;
/** What happened must account for at least this share of a move to be its cause … */
const ENOUGH = 0.5;
/** … and for this one where what was told is so far out that its owner must hear of it. */
const SOME = 0.2;

/** Expectations are played by chance, which is dearer: for shorter queues, at few told nights in one look. */
const LONGEST_BY_CHANCE = 200;
const MOST_BY_CHANCE = 2;
const RUNS_BY_CHANCE = 100;
/** Starts worked out in one piece: a few milliseconds' worth. */
const PIECE = 1_000;
/** A move whose cause was not found is looked at again after so long. */
const AGAIN_AFTER: Millis = 5 * MINUTE;
/** Nights are kept as they stood when they were told, so many, and while nothing happens one in so long. */
const MOST_NIGHTS = 400;
const NIGHT_KEEPS: Millis = 5 * MINUTE;

/** By the entry of the telling: what the class that came did to each start. */
type ArrivalsPlayed = Map<number, ReadonlyMap<number, Millis>>;

export class MoveExplainer {
  private readonly silence: () => void;
  private readonly moved: WhatMoved;
  private mark: QueueMark | null = null;
  private closing: Closing | null = null;
  /** By the journal's entry. */
  private readonly nights = new Map<number, NightInput>();
  /** When to look again for the cause of a move, by request. */
  private readonly againUnixMs = new Map<number, UtcMillis>();

  constructor(private readonly parts: MoveExplainerParts) {
    const { desk, clock } = parts;
    // The time in which nothing ran here counts too.
    const sinceUnixMs = Math.min(clock.now(), desk.state.lastEntryUnixMs || clock.now());
    const first = this.look(sinceUnixMs);
    this.moved = new WhatMoved(first, desk.state.lastEntryId);
    this.keepNight(first.input, desk.state.lastEntryId);
    this.silence = desk.listen((entry) => this.note(entry));
  }

  stop(): void {
    this.silence();
  }

  /**
   * For each move its causes; null when nothing that is known to have happened accounts for it, so that there is
   * nothing to tell.
   */
  async explain(moves: readonly UnexplainedMove[]): Promise<readonly (readonly MoveCause[] | null)[]> {
    const { desk, clock } = this.parts;
    // Between two entries.
    this.follow(clock.now(), desk.state.lastEntryId + 0.5);
    await inPieces(this.moved.catchUp(), Math.min(SLICE, desk.state.waiting.size));
    const arrivals: ArrivalsPlayed = new Map();
    const causes: (readonly MoveCause[] | null)[] = [];
    for (const move of moves)
      causes.push(this.happened(move, ENOUGH) ?? (await this.notHappened(move, arrivals)));
    return causes;
  }

  private note(entry: Entry): void {
    const { state } = this.parts.desk;
    const mark = queueMark(state);
    if (state.waiting.size > LONGEST_QUEUE || (this.mark && sameMark(this.mark, mark))) return;
    this.follow(entry.atUnixMs, entry.id);
    this.mark = mark;
  }

  private follow(atUnixMs: UtcMillis, entry: number): void {
    const look = this.look(atUnixMs);
    this.moved.follow(look, entry);
    this.keepNight(look.input, entry);
  }

  private keepNight(night: NightInput, entry: number): void {
    if (night.waiting.length > LONGEST_BY_CHANCE) return;
    const last = [...this.nights.values()].at(-1);
    if (last && !Number.isInteger(entry) && night.nowUnixMs - last.nowUnixMs < NIGHT_KEEPS) return;
    this.nights.set(entry, night);
    if (this.nights.size > MOST_NIGHTS) this.nights.delete(this.nights.keys().next().value as number);
  }

  /** As it stood at an entry, or shortly before. */
  private nightAt(entry: number): NightInput | undefined {
    let found: NightInput | undefined;
    for (const [at, night] of this.nights) if (at <= entry) found = night;
    return found;
  }

  private look(atUnixMs: UtcMillis): NightLook {
    const { desk, config, learning } = this.parts;
    const { state } = desk;
    const input = nightInput(state, config, atUnixMs, learning.overheads(state));
    const endless = input.holdUntilUnixMs === Number.POSITIVE_INFINITY;
    this.closing = this.closingAt(atUnixMs);
    return {
      input: endless ? { ...input, holdUntilUnixMs: null } : input,
      closing: this.closing,
      nextNumber: state.nextNumber,
      stateOf: (number) => state.requests.get(number)?.state ?? "withdrawn",
    };
  }

  /** One that is placed again is the same that goes on. */
  private closingAt(atUnixMs: UtcMillis): Closing | null {
    const { state } = this.parts.desk;
    const { hold } = state;
    const since = (what: Closing["what"], first: UtcMillis): UtcMillis =>
      this.closing?.what === what ? this.closing.sinceUnixMs : first;
    if (heldBy(state) !== null)
      return { what: "fault", sinceUnixMs: since("fault", atUnixMs), untilUnixMs: null };
    if (hold === null) return null;
    return {
      what: "held",
      sinceUnixMs: since("held", hold.sinceUnixMs),
      untilUnixMs: hold.untilUnixMs,
    };
  }

  /** What happened, where it accounts for enough of the move. */
  private happened(move: UnexplainedMove, share: number): readonly MoveCause[] | null {
    const { desk, clock } = this.parts;
    const { number, toldUnixMs, toldEntry, fromUnixMs, startUnixMs } = move;
    const effects = this.moved.effects(number, toldEntry);
    const request = desk.state.requests.get(number);
    if (!effects || !request) return null;
    const sign =
      (startUnixMs ?? Number.POSITIVE_INFINITY) > (fromUnixMs ?? Number.POSITIVE_INFINITY) ? 1 : -1;
    const byMs = sign * effects.reduce((sum, each) => sum + each.byMs, 0);
    const open = fromUnixMs !== null && startUnixMs !== null;
    if (byMs <= 0 || (open && byMs < share * Math.abs(startUnixMs - fromUnixMs))) return null;
    return causesOf(effects, { tier: request.tier, toldUnixMs, nowUnixMs: clock.now(), sign, open });
  }

  /** Where nothing that happened accounts for a move, what did not happen may. */
  private async notHappened(
    move: UnexplainedMove,
    played: ArrivalsPlayed,
  ): Promise<readonly MoveCause[] | null> {
    const { number, toldEntry } = move;
    const nowUnixMs = this.parts.clock.now();
    if (nowUnixMs < (this.againUnixMs.get(number) ?? 0) || !isFarOut(move, nowUnixMs)) return null;
    const known = played.get(toldEntry);
    if (known === undefined && played.size >= MOST_BY_CHANCE) return null;
    const effects = known ?? (await this.arrivals(toldEntry, nowUnixMs));
    played.set(toldEntry, effects);
    const cause = arrivalCause(move, effects.get(number) ?? 0) ?? this.happened(move, SOME);
    if (cause) this.againUnixMs.delete(number);
    else this.againUnixMs.set(number, nowUnixMs + AGAIN_AFTER);
    return cause;
  }

  private async arrivals(toldEntry: number, nowUnixMs: UtcMillis): Promise<ReadonlyMap<number, Millis>> {
    const { desk, config, learning } = this.parts;
    const night = this.nightAt(toldEntry);
    if (night === undefined) return new Map();
    const known = new Set(night.waiting.map(({ number }) => number));
    const came = [...desk.state.requests.values()].filter(
      ({ number, askedUnixMs }) => askedUnixMs >= night.nowUnixMs && !known.has(number),
    );
    if (night.waiting.length + came.length > LONGEST_BY_CHANCE) return new Map();
    const believed = learning.beliefs(desk.state, night.nowUnixMs);
    const options = { ...config.forecast, runs: RUNS_BY_CHANCE };
    const runs = arrivalEffects(night, believed, came, nowUnixMs, options);
    return inPieces(runs, night.waiting.length + came.length);
  }
}

/** Lets others get a word in now and then. @param starts that are worked out in each step */
async function inPieces<Result>(work: Generator<undefined, Result>, starts: number): Promise<Result> {
  for (let done = starts; ; done += starts) {
    const step = work.next();
    if (step.done) return step.value;
    if (done < PIECE) continue;
    done = 0;
    await otherWork();
  }
}

function arrivalCause(
  { fromUnixMs, startUnixMs }: UnexplainedMove,
  byMs: Millis,
): readonly MoveCause[] | null {
  if (fromUnixMs === null || startUnixMs === null) return null;
  const shiftMs = startUnixMs - fromUnixMs;
  if (byMs * Math.sign(shiftMs) < ENOUGH * Math.abs(shiftMs)) return null;
  return [{ what: "arrivals", fewer: shiftMs < 0 }];
}

/**
 * Where little has happened a move is told rarely: when what was told lies outside the range and is wrong by a good
 * part of what is left to wait. To be late is worse than to be early; whoever is next hears of that instead.
 */
function isFarOut(
  { fromUnixMs, startUnixMs, earliestUnixMs, latestUnixMs }: UnexplainedMove,
  nowUnixMs: UtcMillis,
): boolean {
  if (fromUnixMs === null || startUnixMs === null) return false;
  const leftMs = startUnixMs - nowUnixMs;
  if (startUnixMs > fromUnixMs)
    return fromUnixMs < (earliestUnixMs ?? startUnixMs) && startUnixMs - fromUnixMs >= leftMs / 2;
  const isOutside = fromUnixMs > (latestUnixMs ?? startUnixMs);
  return isOutside && leftMs >= NEXT_WITHIN && fromUnixMs - startUnixMs >= leftMs;
}
