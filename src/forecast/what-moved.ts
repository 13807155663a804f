/** Why an estimate moved: the night as it was when told, played again with and without each thing that has happened since. */
import type { Millis, UtcMillis } from "../base/units.js";
import type { OverheadFactors } from "../observatory/observatory.js";
import type { Request, RuleName } from "../queue/request.js";
import type { Interval } from "../sky/interval.js";
import { COMPONENTS, type Component } from "./beliefs.js";
import type { NightInput } from "./night-run.js";
import { playNight } from "./play-night.js";

/** What has happened since an estimate was told. */
export interface Happened {
  /** Asked for since, whether they still wait or not. */
  readonly made: readonly Request[];
  /** To be observed again, from the instant at which the first try ended. */
  readonly again: readonly Request[];
  /** Withdrawn or cancelled since. */
  readonly gone: readonly number[];
  /** Holds since; the present one until now. */
  readonly held: readonly Interval[];
  /** From when an action was to end until it did. */
  readonly late: readonly Interval[];
  /** As they are now. */
  readonly rule: RuleName;
  readonly overheads: OverheadFactors;
}

export type MoveCause =
  /** `tier`: their common tier, if it is before that of the request that moved; else null. */
  | { readonly what: "made"; readonly requests: number; readonly tier: number | null }
  | { readonly what: "again"; readonly requests: number }
  | { readonly what: "gone"; readonly requests: number }
  | { readonly what: "held"; readonly forMs: Millis }
  | { readonly what: "late"; readonly byMs: Millis }
  | { readonly what: "rule"; readonly rule: RuleName }
  /** Now against then: above 1 for slower. */
  | { readonly what: "overhead"; readonly component: Component; readonly factor: number };

/** Something that has happened, and the night with it. */
interface Change {
  readonly cause: (number: number) => MoveCause;
  readonly apply: (night: NightInput) => NightInput;
}

/** A cause must explain at least this share of the move. */
const ENOUGH = 0.4;

/** Plays the told night again, however many of its requests have moved: each combination once. */
export class Replay {
  private readonly changes: readonly Change[];
  private readonly starts = new Map<string, ReadonlyMap<number, UtcMillis>>();

  constructor(
    private readonly told: NightInput,
    happened: Happened,
  ) {
    this.changes = changesFrom(told, happened);
  }

  /**
   * The one change that moves the request most in the given direction, when it explains enough of the move.
   * Its effect is the mean of what it does alone and of what its absence undoes.
   * @param shiftMs how far the estimate moved, positive for later; Infinity for out of the night
   */
  causeFor(number: number, shiftMs: Millis): MoveCause | null {
    const before = this.start(number, []);
    const all = this.changes.map((_, index) => index);
    const after = this.start(number, all);
    const wanted = Number.isFinite(shiftMs) ? shiftMs : after - before;
    let best: { readonly change: Change; readonly effect: number } | null = null;
    for (const [index, change] of this.changes.entries()) {
      const alone = this.start(number, [index]) - before;
      const undone =
        after -
        this.start(
          number,
          all.filter((each) => each !== index),
        );
      const effect = ((alone + undone) / 2) * Math.sign(wanted);
      if (effect > (best?.effect ?? 0)) best = { change, effect };
    }
    return best !== null && best.effect >= ENOUGH * Math.abs(wanted) ? best.change.cause(number) : null;
  }

  /** When a request starts with some of the changes; the night's end when it does not. */
  private start(number: number, changed: readonly number[]): UtcMillis {
    const key = changed.join(",");
    const known = this.starts.get(key);
    const starts = known ?? this.play(changed);
    if (known === undefined) this.starts.set(key, starts);
    return starts.get(number) ?? this.told.untilUnixMs;
  }

  private play(changed: readonly number[]): ReadonlyMap<number, UtcMillis> {
    const night = changed.reduce((input, index) => this.changes[index]!.apply(input), this.told);
    return new Map(playNight(night).turns.map((turn) => [turn.number, turn.takenUnixMs]));
  }
}

function changesFrom(told: NightInput, happened: Happened): Change[] {
  return [
    ...madeChanges(told, happened.made),
    ...requestChanges(happened),
    ...closedChange(happened.held, (forMs) => ({ what: "held", forMs })),
    ...closedChange(happened.late, (byMs) => ({ what: "late", byMs })),
    ...(happened.rule === told.rule ? [] : [ruleChange(happened.rule)]),
    ...overheadChanges(told, happened.overheads),
  ];
}

/** Requests of each tier count together. */
function madeChanges(told: NightInput, made: readonly Request[]): Change[] {
  const tierOf = new Map(told.waiting.map(({ number, tier }) => [number, tier]));
  return [...new Set(made.map(({ tier }) => tier))].map((tier) => {
    const ofTier = made.filter((each) => each.tier === tier);
    return {
      cause: (number) => ({
        what: "made",
        requests: ofTier.length,
        tier: tier < (tierOf.get(number) ?? tier) ? tier : null,
      }),
      apply: (night) => ({ ...night, waiting: [...night.waiting, ...ofTier.map(notBeforeAsked)] }),
    };
  });
}

function requestChanges({ again, gone }: Happened): Change[] {
  const changes: Change[] = [];
  if (again.length > 0) {
    changes.push({
      cause: () => ({ what: "again", requests: again.length }),
      apply: (night) => ({ ...night, waiting: [...night.waiting, ...again.map(notBeforeAsked)] }),
    });
  }
  if (gone.length > 0) {
    const without = new Set(gone);
    changes.push({
      cause: () => ({ what: "gone", requests: gone.length }),
      apply: (night) => ({ ...night, waiting: night.waiting.filter(({ number }) => !without.has(number)) }),
    });
  }
  return changes;
}

/** Nobody can be taken before they have asked. */
function notBeforeAsked(request: Request): Request {
  const { askedUnixMs, notBeforeUnixMs } = request;
  return { ...request, notBeforeUnixMs: Math.max(askedUnixMs, notBeforeUnixMs ?? askedUnixMs) };
}

function closedChange(stretches: readonly Interval[], cause: (ms: Millis) => MoveCause): Change[] {
  const lostMs = stretches.reduce((sum, each) => sum + each.closeUnixMs - each.openUnixMs, 0);
  if (lostMs <= 0) return [];
  return [
    {
      cause: () => cause(lostMs),
      apply: (night) => ({
        ...night,
        closed: [...(night.closed ?? []), ...stretches].sort((a, b) => a.openUnixMs - b.openUnixMs),
      }),
    },
  ];
}

function ruleChange(rule: RuleName): Change {
  return { cause: () => ({ what: "rule", rule }), apply: (night) => ({ ...night, rule }) };
}

/** Smaller changes than this move nothing that anybody would be told of. */
const LEAST_FACTOR = 0.01;

function overheadChanges(told: NightInput, now: OverheadFactors): Change[] {
  return COMPONENTS.flatMap((component) => {
    const factor = now[component] / told.overheads[component];
    if (Math.abs(factor - 1) < LEAST_FACTOR) return [];
    return [
      {
        cause: () => ({ what: "overhead", component, factor }) as const,
        apply: (night: NightInput) => ({
          ...night,
          overheads: { ...night.overheads, [component]: now[component] },
        }),
      },
    ];
  });
}
