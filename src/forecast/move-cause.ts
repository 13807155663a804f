/** Which of all that moved a request deserves to be named. */
import { MINUTE, type Millis, SECOND, type UtcMillis } from "../base/units.js";
import type { Request, RuleName } from "../queue/request.js";
import type { Component } from "./learn/beliefs.js";
import type { Change } from "./night-changes.js";
import type { Effect } from "./what-moved.js";

export type MoveCause =
  /** `tier`: their common tier, if it is before that of the request that moved; else null. */
  | { readonly what: "made"; readonly requests: number; readonly tier: number | null }
  | { readonly what: "again" | "back" | "gone"; readonly requests: number }
  | {
      readonly what: "held" | "fault";
      readonly times: number;
      readonly forMs: Millis;
      /** null: it began before the estimate was told, so that only its end is news. */
      readonly is: "over" | "on" | null;
      readonly later: boolean;
      readonly reordered: boolean;
    }
  /** `reordered`: it moved the request by far more than its own length, for then others ran first. */
  | { readonly what: "pace"; readonly byMs: Millis; readonly reordered: boolean }
  | { readonly what: "stopped" }
  | { readonly what: "idle"; readonly forMs: Millis; readonly reordered: boolean }
  | { readonly what: "taken"; readonly number: number }
  | { readonly what: "rule"; readonly rule: RuleName }
  | { readonly what: "plan" }
  /** `component` null: several together. `thought`: no slower (or faster) than configured, only than last believed. */
  | {
      readonly what: "overhead";
      readonly component: Component | null;
      readonly slower: boolean;
      readonly thought: boolean;
    }
  /** The estimate had allowed for requests to come. */
  | { readonly what: "arrivals"; readonly fewer: boolean };

/** The request that moved, and between when. */
export interface Moved {
  readonly tier: number;
  readonly toldUnixMs: UtcMillis;
  readonly nowUnixMs: UtcMillis;
  /** Positive for later, negative for earlier. */
  readonly sign: number;
  /** It had and has a start tonight. */
  readonly open: boolean;
}

interface Group {
  /** In the direction of the move. */
  readonly byMs: Millis;
  readonly cause: MoveCause;
}

/** A cause that explains at least this share of the move stands alone; otherwise the two greatest are named. */
const ALONE = 0.5;
/** What moved it by less is not counted. */
const LEAST: Millis = 30 * SECOND;

/** The one or two things that moved a request most in the direction in which it moved; empty for none. */
export function causesOf(effects: readonly Effect[], moved: Moved): readonly MoveCause[] {
  const totalMs = moved.sign * effects.reduce((sum, { byMs }) => sum + byMs, 0);
  const groups = [...requestGroups(effects, moved), ...otherGroups(effects, moved)]
    .filter(({ byMs }) => byMs > 0)
    .sort((a, b) => b.byMs - a.byMs);
  const [first, second] = groups.map(({ cause }) => cause);
  if (first === undefined) return [];
  const isAlone = second === undefined || (groups[0] as Group).byMs >= ALONE * totalMs;
  if (isAlone) return [first];
  // An action that took longer because of a slow part is no second cause.
  if (first.what === "pace" && second.what === "overhead") return [second];
  if (first.what === "overhead" && second.what === "pace") return [first];
  return [first, second];
}

/** What one request did, over all that happened to it: one that came and went again did nothing. */
interface Doing {
  readonly request: Request;
  what: "made" | "again" | "back" | "gone";
  byMs: Millis;
}

function requestGroups(effects: readonly Effect[], { tier, sign }: Moved): Group[] {
  const doings = new Map<number, Doing>();
  for (const { change, byMs, requests } of effects) {
    if (!("requests" in change)) continue;
    for (const number of requests) {
      const request = change.requests.find((each) => each.number === number) as Request;
      const doing = doings.get(number) ?? { request, what: change.what, byMs: 0 };
      doing.byMs += (sign * byMs) / requests.length;
      if (doing.what !== "made") doing.what = change.what;
      doings.set(number, doing);
    }
  }
  const groups = new Map<string, Doing[]>();
  for (const doing of doings.values()) {
    if (doing.byMs < LEAST) continue;
    const key = doing.what === "made" ? `made ${higher(doing.request, tier)}` : doing.what;
    groups.set(key, [...(groups.get(key) ?? []), doing]);
  }
  return [...groups.values()].map((group) => {
    const { what, request } = group[0] as Doing;
    const requests = group.length;
    const cause: MoveCause =
      what === "made" ? { what, requests, tier: higher(request, tier) } : { what, requests };
    return { byMs: sum(group), cause };
  });
}

function higher(request: Request, tier: number): number | null {
  return request.tier < tier ? request.tier : null;
}

type Of<What extends Change["what"]> = Extract<Change, { what: What }>;
type Did<What extends Change["what"]> = { readonly change: Of<What>; readonly byMs: Millis };

function otherGroups(effects: readonly Effect[], moved: Moved): Group[] {
  const did = <What extends Change["what"]>(...whats: readonly What[]): Did<What>[] =>
    effects.flatMap(({ change, byMs }) =>
      (whats as readonly string[]).includes(change.what)
        ? [{ change: change as Of<What>, byMs: moved.sign * byMs }]
        : [],
    );
  const group = <One>(list: readonly One[], cause: (last: One) => MoveCause): Group[] =>
    list.length === 0
      ? []
      : [{ byMs: sum(list as readonly { byMs: Millis }[]), cause: cause(list.at(-1) as One) }];
  const pace = did("pace");
  const idle = did("idle");
  return [
    ...group(did("held"), () => closedCause(did("held"), moved)),
    ...group(did("fault"), () => closedCause(did("fault"), moved)),
    ...group(pace, () => {
      const byMs = total(pace, (each) => each.change.byMs);
      return { what: "pace", byMs, reordered: isReordered(byMs, pace, moved) };
    }),
    ...group(did("stopped"), () => ({ what: "stopped" })),
    ...group(idle, () => {
      const forMs = total(idle, (each) => each.change.forMs);
      return { what: "idle", forMs, reordered: isReordered(forMs, idle, moved) };
    }),
    ...group(did("taken"), ({ change }) => ({ what: "taken", number: change.number })),
    ...group(did("rule"), ({ change }) => ({ what: "rule", rule: change.rule })),
    ...group(did("plan"), () => ({ what: "plan" })),
    ...group(did("overhead"), () => overheadCause(did("overhead"))),
  ];
}

function closedCause(did: readonly (Did<"held"> | Did<"fault">)[], moved: Moved): MoveCause {
  const untilBySince = new Map(did.map(({ change }) => [change.sinceUnixMs, change.untilUnixMs]));
  const fresh = [...untilBySince].filter(([since]) => since >= moved.toldUnixMs);
  const forMs = fresh.reduce((all, [since, until]) => all + until - since, 0);
  const on = [...untilBySince.values()].some((until) => until > moved.nowUnixMs);
  return {
    what: (did[0] as Did<"held">).change.what,
    times: fresh.length,
    forMs,
    is: fresh.length < untilBySince.size ? null : on ? "on" : "over",
    later: moved.sign > 0,
    reordered: fresh.length === untilBySince.size && isReordered(forMs, did, moved),
  };
}

/** Twice its own length, and some. */
function isReordered(ownMs: Millis, did: readonly { readonly byMs: Millis }[], { open }: Moved): boolean {
  return open && Math.abs(sum(did)) > 2 * Math.abs(ownMs) + 5 * MINUTE;
}

/** A part that accounts for most of what all parts did is named. */
const MOST = 0.6;

function overheadCause(did: readonly Did<"overhead">[]): MoveCause {
  const all = sum(did);
  const byComponent = new Map<Component, Did<"overhead">[]>();
  for (const each of did) {
    const { component } = each.change;
    byComponent.set(component, [...(byComponent.get(component) ?? []), each]);
  }
  const most = [...byComponent.values()].sort((a, b) => sum(b) - sum(a))[0] as Did<"overhead">[];
  const single = sum(most) >= MOST * all;
  const was = (most[0] as Did<"overhead">).change.wasFactor;
  const { component, factor } = (most.at(-1) as Did<"overhead">).change;
  const slower = factor > was;
  return {
    what: "overhead",
    component: single ? component : null,
    slower,
    thought: slower ? factor <= 1 : factor >= 1,
  };
}

function sum(list: readonly { readonly byMs: Millis }[]): Millis {
  return total(list, ({ byMs }) => byMs);
}

function total<One>(list: readonly One[], of: (one: One) => Millis): Millis {
  return list.reduce((all, one) => all + of(one), 0);
}
