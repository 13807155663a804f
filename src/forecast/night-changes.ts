/** What differs between two looks at a night, one thing at a time, each with the night that has it and all before it. */
import type { Millis, UtcMillis } from "../base/units.js";
import type { Request, RequestState, RuleName } from "../queue/request.js";
import { COMPONENTS, type Component } from "./learn/beliefs.js";
import type { NightInput } from "./night-run.js";

/** A hold or a fault of the telescope. */
export interface Closing {
  readonly what: "held" | "fault";
  readonly sinceUnixMs: UtcMillis;
  /** null: until staff end it. */
  readonly untilUnixMs: UtcMillis | null;
}

/** The night as it stands at one instant. */
export interface NightLook {
  /** What has no end is taken to end now: each minute that it goes on is a change of its own. */
  readonly input: NightInput;
  readonly closing: Closing | null;
  /** The number that the next new request will have. */
  readonly nextNumber: number;
  /** What became of a request. */
  readonly stateOf: (number: number) => RequestState;
}

export type Change =
  /** A new night: all that waits is told its new estimate as it begins. */
  | { readonly what: "night" }
  /** Asked for; to be observed again; back after a cancellation was undone; cancelled or withdrawn. */
  | { readonly what: "made" | "again" | "back" | "gone"; readonly requests: readonly Request[] }
  /** Nothing could be taken, so far until then. */
  | { readonly what: "held"; readonly sinceUnixMs: UtcMillis; readonly untilUnixMs: UtcMillis }
  | { readonly what: "fault"; readonly sinceUnixMs: UtcMillis; readonly untilUnixMs: UtcMillis }
  /** An action went on for longer than planned (positive) or ended sooner. */
  | { readonly what: "pace"; readonly byMs: Millis }
  /** An action ended before its time without its frames. */
  | { readonly what: "stopped" }
  /** The telescope was free and took nothing. */
  | { readonly what: "idle"; readonly forMs: Millis }
  /** Another was taken than the run foresaw. */
  | { readonly what: "taken"; readonly number: number }
  | { readonly what: "rule"; readonly rule: RuleName }
  /** The plan that is followed was made anew. */
  | { readonly what: "plan" }
  /** Multiples of the configured time. */
  | {
      readonly what: "overhead";
      readonly component: Component;
      readonly wasFactor: number;
      readonly factor: number;
    };

export interface Changed {
  readonly change: Change;
  readonly input: NightInput;
}

/** Smaller changes of a multiple are rounding. */
const LEAST_FACTOR = 1e-4;

/**
 * All that is different at the later look but the passing of time, in the order in which it is to be played. The
 * last input is that of the later look.
 * @param gone numbers cancelled or withdrawn before, for telling what comes back
 */
export function changesBetween(
  before: NightLook,
  after: NightLook,
  gone: ReadonlySet<number>,
): readonly Changed[] {
  const { nowUnixMs } = after.input;
  if (after.input.untilUnixMs !== before.input.untilUnixMs)
    return [{ change: { what: "night" }, input: after.input }];
  const changed: Changed[] = [];
  let input: NightInput = { ...before.input, nowUnixMs };
  const add = (change: Change, differing: Partial<NightInput>): void => {
    input = { ...input, ...differing };
    changed.push({ change, input });
  };
  addProgress(before, after, (change, differing) => add(change, differing(input)));
  addRequests(before, after, gone, (change, waiting) => add(change, { waiting: waiting(input.waiting) }));
  const { holdUntilUnixMs, rule, overheads } = after.input;
  const closing = after.closing ?? before.closing;
  if (input.holdUntilUnixMs !== holdUntilUnixMs && closing !== null)
    add(closedUntil(closing, holdUntilUnixMs ?? nowUnixMs), { holdUntilUnixMs });
  if (input.rule !== rule) add({ what: "rule", rule }, { rule });
  const { plan } = after.input;
  if (input.plan !== plan) {
    if (rule === "planned" && plan !== undefined) add({ what: "plan" }, { plan });
  }
  for (const component of COMPONENTS) {
    const [wasFactor, factor] = [input.overheads[component], overheads[component]];
    if (Math.abs(factor / wasFactor - 1) > LEAST_FACTOR)
      add(
        { what: "overhead", component, wasFactor, factor },
        { overheads: { ...input.overheads, [component]: factor } },
      );
  }
  return changed;
}

/** A hold or fault that has lasted, or will last, until an instant. */
export function closedUntil({ what, sinceUnixMs }: Closing, untilUnixMs: UtcMillis): Change {
  return { what, sinceUnixMs, untilUnixMs };
}

/** One action ended, another begun. */
function addProgress(
  before: NightLook,
  { input: now, stateOf }: NightLook,
  add: (change: Change, differing: (input: NightInput) => Partial<NightInput>) => void,
): void {
  const was = before.input.current;
  const is = now.current;
  const { pointing, takenTonight } = now;
  if (was && was.request.number !== is?.request.number) {
    const byMs = Math.min(0, now.nowUnixMs - was.freeUnixMs);
    const stopped = byMs < 0 && stateOf(was.request.number) !== "completed";
    add(stopped ? { what: "stopped" } : { what: "pace", byMs }, () => ({
      current: null,
      ...(is ? {} : { pointing, takenTonight }),
    }));
  } else if (was && is && was.freeUnixMs !== is.freeUnixMs)
    add({ what: "pace", byMs: is.freeUnixMs - was.freeUnixMs }, () => ({ current: is }));
  if (is && is.request.number !== was?.request.number) {
    const { number } = is.request;
    add({ what: "taken", number }, ({ waiting }) => ({
      current: is,
      pointing,
      takenTonight,
      waiting: waiting.filter((each) => each.number !== number),
    }));
  }
}

type Waiting = readonly Request[];

/** Requests that joined the queue, and those that left it without a turn. */
function addRequests(
  before: NightLook,
  after: NightLook,
  gone: ReadonlySet<number>,
  add: (change: Change, waiting: (was: Waiting) => Waiting) => void,
): void {
  const was = new Set(before.input.waiting.map(({ number }) => number));
  const is = new Set(after.input.waiting.map(({ number }) => number));
  const joined = after.input.waiting.filter(({ number }) => !was.has(number));
  const kindOf = ({ number }: Request): "made" | "back" | "again" => {
    if (number >= before.nextNumber) return "made";
    return gone.has(number) ? "back" : "again";
  };
  for (const what of ["made", "again", "back"] as const) {
    const requests = joined.filter((each) => kindOf(each) === what);
    if (requests.length > 0) add({ what, requests }, (waiting) => [...waiting, ...requests]);
  }
  const current = after.input.current?.request.number;
  const left = before.input.waiting.filter(({ number }) => !is.has(number) && number !== current);
  for (const request of left.filter(({ number }) => wasTried(after.stateOf(number))))
    add({ what: "taken", number: request.number }, without([request]));
  const requests = left.filter(({ number }) => !wasTried(after.stateOf(number)));
  if (requests.length > 0) add({ what: "gone", requests }, without(requests));
}

function wasTried(state: RequestState): boolean {
  return state === "completed" || state === "failed";
}

function without(requests: Waiting): (was: Waiting) => Waiting {
  const numbers = new Set(requests.map(({ number }) => number));
  return (was) => was.filter(({ number }) => !numbers.has(number));
}
