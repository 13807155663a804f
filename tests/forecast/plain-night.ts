/** The night played in the plainest way, request by request: slow, short, and with none of the engine's shortcuts. */
import type { UtcMillis } from "../../src/base/units.js";
import type { NightInput } from "../../src/forecast/night-run.js";
import { timingOf } from "../../src/observatory/action-times.js";
import { type Aim, aimAfterTracking, aimAt } from "../../src/observatory/aim.js";
import type { Request, RuleName } from "../../src/queue/request.js";
import { targetNights } from "../../src/queue/target-night.js";
import { sinAltitudeAt } from "../../src/sky/track.js";

/** What a rule compares, most important first; smaller goes first. */
type Keys = (request: Request, unixMs: UtcMillis, taken: ReadonlyMap<string, number>) => readonly number[];

export interface PlainTurn {
  readonly number: number;
  readonly takenUnixMs: UtcMillis;
  readonly freeUnixMs: UtcMillis;
}

/** Every rule but `planned`, which has no shorter form than its own. */
export type PlainRule = Exclude<RuleName, "planned">;

export function plainNight(night: NightInput & { readonly rule: PlainRule }): readonly PlainTurn[] {
  const { observatory, untilUnixMs } = night;
  const nights = targetNights(night.nowUnixMs, observatory);
  const timing = timingOf(observatory, night.overheads);
  const taken = new Map(night.takenTonight);
  const sine = (request: Request, unixMs: UtcMillis): number =>
    sinAltitudeAt(nights(request.target).track, unixMs);
  const windowAt = (request: Request, unixMs: UtcMillis) =>
    nights(request.target).windows.find((each) => each.openUnixMs <= unixMs && unixMs < each.closeUnixMs);
  const closes = (request: Request, unixMs: UtcMillis): UtcMillis =>
    Math.min(windowAt(request, unixMs)?.closeUnixMs ?? 0, untilUnixMs);
  const keys: Record<PlainRule, Keys> = {
    "highest-first": (request, unixMs) => [-sine(request, unixMs)],
    "first-come": () => [],
    "setting-first": (request, unixMs) => [closes(request, unixMs), -sine(request, unixMs)],
    "one-each": (request, unixMs, had) => [had.get(request.owner) ?? 0, -sine(request, unixMs)],
  };
  const changes = [
    ...night.waiting.flatMap((each) => nights(each.target).windows.map((window) => window.openUnixMs)),
    ...night.waiting.map((each) => Math.ceil(each.notBeforeUnixMs ?? 0)),
  ];

  const turns: PlainTurn[] = [];
  let { pointing, waiting } = night;
  let unixMs = Math.max(night.nowUnixMs, night.current?.freeUnixMs ?? 0, night.holdUntilUnixMs ?? 0);
  while (unixMs < untilUnixMs) {
    const now = unixMs;
    const aimOf = (request: Request): Aim => aimAt(nights(request.target).track, now, observatory);
    const all = (request: Request): readonly number[] => [
      request.tier,
      ...keys[night.rule](request, now, taken),
      request.askedUnixMs,
      request.number,
    ];
    const [best] = waiting
      .filter((request) => (request.notBeforeUnixMs ?? 0) <= now && windowAt(request, now) !== undefined)
      .filter((request) => {
        const { readyMs, exposingMs } = timing.times(pointing, aimOf(request), request);
        return now + readyMs + exposingMs <= closes(request, now);
      })
      .sort((a, b) => firstDifference(all(a), all(b)));
    if (!best) {
      unixMs = Math.min(...changes.filter((change) => change > now), untilUnixMs);
      continue;
    }
    const { track } = nights(best.target);
    const aim = aimOf(best);
    const freeUnixMs = now + timing.times(pointing, aim, best).totalMs;
    pointing = timing.pointingAfter(aimAfterTracking(aim, track, freeUnixMs, observatory), best.filter);
    waiting = waiting.filter((request) => request !== best);
    taken.set(best.owner, (taken.get(best.owner) ?? 0) + 1);
    turns.push({ number: best.number, takenUnixMs: now, freeUnixMs });
    unixMs = freeUnixMs;
  }
  return turns;
}

function firstDifference(a: readonly number[], b: readonly number[]): number {
  for (const [index, key] of a.entries()) {
    const difference = key - (b[index] as number);
    if (difference !== 0) return difference;
  }
  return 0;
}
