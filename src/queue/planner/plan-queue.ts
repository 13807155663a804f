/**
 * The planner: an order for all that waits, by seeds and local search. The smaller tier is planned first, as if it
 * were alone; its turns stay as they are, and the next tier has the gaps. How long it searches is counted in actions
 * played, never in time, so that the same question has the same answer everywhere.
 */
import { MINUTE, type UtcMillis } from "../../base/units.js";
import { playWaiting } from "./place-waits.js";
import type { Plan } from "./plan.js";
import type { Problem } from "./problem.js";
import { Schedule } from "./schedule.js";
import { StretchSearch, WholeSearch } from "./search.js";
import { byClosing, byPrice, dispatched } from "./seeds.js";
import { DONE } from "./worth.js";

export interface PlanOptions {
  /** Rounds of the search; 0 for what can be had at once. */
  readonly rounds: number;
  /** What is followed now: kept unless another is really better. */
  readonly old?: Plan;
}

/** So few are searched with every change played whole, waits for height and all. */
const FEW = 12;
/** Actions played in one round over few, and over a long queue. */
const WHOLE_ROUND = 6_000;
const STRETCH_ROUND = 70_000;
/** Prices of time for the orders to begin with: short ones first, and with more regard to height. */
const DEAR = 3 / MINUTE;
const CHEAP = 0.05 / MINUTE;
/** Airmasses by which a plan must be better than the one that people have been told of. */
const REAL_GAIN = 0.25;

/** Rows in order, each with its start. */
interface Turns {
  readonly rows: ArrayLike<number>;
  readonly starts: ArrayLike<UtcMillis>;
}

/** The plan for all the problem's rows. Deterministic. */
export function planQueue(problem: Problem, options: PlanOptions): Plan {
  const { table } = problem.task;
  const { requests, group, tier } = table;
  // Within a tier, whoever has been left out too often is planned before the others.
  const rankOf = (row: number): number => 2 * tier[group[row]!]! + (problem.task.overdue(row) ? 0 : 1);
  const all = Array.from({ length: problem.task.waitingRows }, (_, row) => row);
  const rowOf = new Map(all.map((row) => [requests[row]!.number, row]));
  const old = (options.old?.order ?? []).flatMap((number) => rowOf.get(number) ?? []);
  let turns: Turns = { rows: [], starts: [] };
  for (const rank of [...new Set(all.map(rankOf))].sort((a, b) => a - b)) {
    const ofRank = (rows: readonly number[]): number[] => rows.filter((row) => rankOf(row) === rank);
    turns = planRank(problem, ofRank(all), turns, ofRank(old), options);
    for (let place = 0; place < turns.rows.length; place++)
      problem.fix(turns.rows[place]!, turns.starts[place]!);
  }
  problem.free();
  const fresh = planOf(problem, turns);
  return options.old !== undefined && !isBetter(problem, fresh, options.old) ? options.old : fresh;
}

/** Rows of one rank among the turns that stay. */
function planRank(
  problem: Problem,
  rows: readonly number[],
  fixed: Turns,
  old: readonly number[],
  { rounds }: PlanOptions,
): Turns {
  const seeds = [
    byPrice(problem, rows),
    ...(old.length > 0 ? [old] : []),
    ...(rounds > 0 ? [dispatched(problem, rows, rows.length <= FEW ? DEAR : CHEAP)] : []),
    ...(rows.length <= FEW ? [byClosing(problem, rows)] : []),
  ].map((seed) => amongFixed(problem, fixed, seed));
  const both = [...Array.from(fixed.rows), ...rows];
  if (rounds === 0) {
    const schedule = new Schedule(problem);
    playWaiting(schedule, seeds[0]!);
    return schedule.copy();
  }
  return both.length <= FEW
    ? searchFew(problem, both, seeds, rounds)
    : searchMany(problem, both, seeds, rounds);
}

function searchFew(problem: Problem, rows: readonly number[], seeds: number[][], rounds: number): Turns {
  const search = new WholeSearch(problem, rows);
  const starts = seeds
    .map((seed) => search.begin(seed))
    .map((order) => ({ order, value: search.evaluate(order) }))
    .sort((a, b) => b.value - a.value);
  const until = problem.actions + WHOLE_ROUND * rounds;
  for (const { order } of starts) search.improve(order, until);
  return search.best;
}

function searchMany(problem: Problem, rows: readonly number[], seeds: number[][], rounds: number): Turns {
  const searches = seeds.map((seed) => new StretchSearch(problem, rows, seed));
  for (const each of searches) each.round(problem.actions + STRETCH_ROUND / searches.length);
  const [best] = searches.sort((a, b) => b.schedule.value - a.schedule.value) as [StretchSearch];
  for (let round = 1; round < rounds; round++) best.round(problem.actions + STRETCH_ROUND);
  const schedule = new Schedule(problem);
  playWaiting(schedule, best.schedule.order.slice(0, best.schedule.count));
  return schedule.copy();
}

/** An order worked in between turns that stay: each as soon as that holds none of them up. */
function amongFixed(problem: Problem, fixed: Turns, order: readonly number[]): number[] {
  if (fixed.rows.length === 0) return [...order];
  const merged: number[] = [];
  let next = 0;
  let free = problem.task.fromUnixMs;
  problem.stand();
  const take = (row: number): void => {
    merged.push(row);
    free = problem.freeUnixMs;
  };
  for (const row of order) {
    for (;;) {
      const before = problem.pointing;
      const fits = problem.begin(row, free);
      const after = { free: problem.freeUnixMs, pointing: problem.pointing };
      const stays = next === fixed.rows.length || !fits || problem.begin(fixed.rows[next]!, after.free);
      problem.stand(fits && stays ? after.pointing : before);
      problem.freeUnixMs = after.free;
      if (fits && stays) take(row);
      if (!fits || stays) break;
      if (!problem.begin(fixed.rows[next]!, free)) break;
      take(fixed.rows[next++]!);
    }
  }
  return [...merged, ...Array.from(fixed.rows).slice(next)];
}

/** By numbers, with the waits that are more than waiting for one's turn. */
function planOf(problem: Problem, { rows, starts }: Turns): Plan {
  const { requests } = problem.task.table;
  const schedule = new Schedule(problem);
  schedule.play(rows, starts);
  const number = (row: number): number => requests[row]!.number;
  const order = alikeAsAsked(problem, Array.from(schedule.order.subarray(0, schedule.count)));
  const waits = order.flatMap((row, place) => {
    const free = place === 0 ? problem.task.fromUnixMs : schedule.free[place - 1]!;
    const soonest = problem.startFrom(row, free, problem.task.table.exposingMs[row]!);
    return schedule.start[place]! > soonest + 1 ? [[number(row), schedule.start[place]!] as const] : [];
  });
  const placed = new Set(order);
  return {
    order: order.map(number),
    waits,
    left: requests
      .slice(0, problem.task.waitingRows)
      .flatMap((request, row) => (placed.has(row) ? [] : [request.number])),
  };
}

/** Of those whose turns are the same, whoever asked first goes first. */
function alikeAsAsked(problem: Problem, order: readonly number[]): number[] {
  const alike = new Map<string, number[]>();
  for (let row = 0; row < problem.task.waitingRows; row++) {
    const kind = problem.kindOf(row);
    const rows = alike.get(kind) ?? [];
    if (rows.push(row) === 1) alike.set(kind, rows);
  }
  const next = new Map<string, number>();
  return order.map((row) => {
    const kind = problem.kindOf(row);
    const place = next.get(kind) ?? 0;
    next.set(kind, place + 1);
    return alike.get(kind)![place]!;
  });
}

/** Whether a plan gets more done, the smaller tier first, or as much for less. */
function isBetter(problem: Problem, plan: Plan, old: Plan): boolean {
  const one = played(problem, plan);
  const two = played(problem, old);
  for (const tier of [...new Set([...one.worths.keys(), ...two.worths.keys()])].sort((a, b) => a - b)) {
    const more = (one.worths.get(tier) ?? 0) - (two.worths.get(tier) ?? 0);
    if (more !== 0) return more >= DONE;
  }
  return one.cost < two.cost - REAL_GAIN;
}

function played(
  problem: Problem,
  plan: Plan,
): { readonly worths: Map<number, number>; readonly cost: number } {
  const { requests, group, tier } = problem.task.table;
  const rowOf = new Map(requests.map((request, row) => [request.number, row]));
  const rows = plan.order.flatMap((number) => rowOf.get(number) ?? []);
  const waits = new Map(plan.waits);
  const schedule = new Schedule(problem);
  schedule.play(
    rows,
    rows.map((row) => waits.get(requests[row]!.number) ?? Number.NEGATIVE_INFINITY),
  );
  const worths = new Map<number, number>();
  let cost = 0;
  for (let place = 0; place < schedule.count; place++) {
    const row = schedule.order[place]!;
    const each = tier[group[row]!]!;
    worths.set(each, (worths.get(each) ?? 0) + problem.worth[row]!);
    cost += schedule.cost[place]!;
  }
  return { worths, cost };
}
