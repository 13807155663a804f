/** Orders to begin the search with: simple rules that each do well on some nights. */
import { type Millis, SECOND, type UtcMillis } from "../../base/units.js";
import type { Problem } from "./problem.js";

/** Of the most promising so many are tried with the machines. */
const TRIED = 10;

/**
 * One after another, always the one that costs least then: its time at a price, and the airmass that it would save
 * by going later. The dearer time is, the more the short ones near at hand come first.
 * @param price of the telescope's time, airmasses per millisecond
 */
export function dispatched(problem: Problem, rows: readonly number[], price: number): number[] {
  const { exposingMs, group } = problem.task.table;
  const left = [...rows].sort((a, b) => exposingMs[a]! - exposingMs[b]! || a - b);
  const best = new Map<number, Float64Array>();
  const order: number[] = [];
  problem.stand();
  for (let free = problem.task.fromUnixMs; left.length > 0; ) {
    const pointing = problem.pointing;
    const found = cheapestNow(left, (row) => {
      if (problem.startFrom(row, free, exposingMs[row]!) > free) return Number.POSITIVE_INFINITY;
      const own = best.get(group[row]!) ?? bestAhead(problem, row);
      best.set(group[row]!, own);
      const airmass = problem.airmass(row, free);
      return price * exposingMs[row]! + airmass - Math.min(airmass, own[binOf(problem, free)]!);
    });
    let chosen = -1;
    let chosenFree = 0;
    let least = Number.POSITIVE_INFINITY;
    for (const { row, cost } of found) {
      const takes = problem.begin(row, free) ? problem.freeUnixMs - free - exposingMs[row]! : Number.NaN;
      if (cost + price * takes < least) {
        chosen = row;
        chosenFree = problem.freeUnixMs;
        least = cost + price * takes;
      }
      problem.stand(pointing);
    }
    if (chosen < 0) {
      free = left.reduce(
        (soonest, row) => Math.min(soonest, later(problem, row, free)),
        Number.POSITIVE_INFINITY,
      );
      if (free === Number.POSITIVE_INFINITY) break;
      continue;
    }
    problem.begin(chosen, free);
    free = chosenFree;
    order.push(chosen);
    left.splice(left.indexOf(chosen), 1);
  }
  return order;
}

function later(problem: Problem, row: number, unixMs: UtcMillis): UtcMillis {
  const start = problem.startFrom(row, unixMs + 1, problem.task.table.exposingMs[row]!);
  return start > unixMs + 1 ? start : Number.POSITIVE_INFINITY;
}

interface Candidate {
  readonly row: number;
  readonly cost: number;
}

function cheapestNow(rows: readonly number[], costOf: (row: number) => number): readonly Candidate[] {
  const found: Candidate[] = [];
  for (const row of rows) {
    const cost = costOf(row);
    const last = found.at(-1);
    if (cost === Number.POSITIVE_INFINITY) continue;
    if (found.length === TRIED && last !== undefined) {
      if (cost >= last.cost) continue;
      found.pop();
    }
    let place = found.length;
    while (place > 0 && found[place - 1]!.cost > cost) place--;
    found.splice(place, 0, { row, cost });
  }
  return found;
}

/** By bin: the lowest airmass that a row's target has from then on, while it may be observed. */
function bestAhead(problem: Problem, row: number): Float64Array {
  const { fromUnixMs, untilUnixMs } = problem.task;
  const best = new Float64Array(BINS + 1).fill(Number.POSITIVE_INFINITY);
  for (let bin = BINS - 1; bin >= 0; bin--) {
    const unixMs = fromUnixMs + ((untilUnixMs - fromUnixMs) * bin) / BINS;
    const open = problem.startFrom(row, unixMs, 0) <= unixMs;
    best[bin] = open ? Math.min(best[bin + 1]!, problem.airmass(row, unixMs)) : best[bin + 1]!;
  }
  return best;
}

function binOf({ task }: Problem, unixMs: UtcMillis): number {
  const share = (unixMs - task.fromUnixMs) / (task.untilUnixMs - task.fromUnixMs);
  return Math.min(BINS, Math.floor(share * BINS) + 1);
}

/** In the order in which their last windows close. */
export function byClosing(problem: Problem, rows: readonly number[]): number[] {
  const { table } = problem.task;
  return [...rows].sort(
    (a, b) => lastClose(problem, a) - lastClose(problem, b) || table.group[a]! - table.group[b]! || a - b,
  );
}

/** Requests looked at for what is usual. */
const LOOKS = 30;

const BINS = 64;
const ROUNDS = 40;
/** What having one more done weighs against airmass while prices are found. */
const WORTH = 8;
/** How fast prices move, airmasses in the time of a move. */
const PRICE_STEP = 0.5;

/**
 * Each at the time that suits it best, at prices for the telescope's time that rise where too many want it
 * (Lagrangian relaxation by subgradients: Fisher 1981, Management Science 27, 1). The dearest are left out.
 */
export function byPrice(problem: Problem, rows: readonly number[]): number[] {
  const { fromUnixMs, table } = problem.task;
  const moveMs = usualReadyMs(problem);
  const endUnixMs = rows.reduce((last, row) => Math.max(last, lastClose(problem, row)), fromUnixMs + 1);
  const binMs = (endUnixMs - fromUnixMs) / BINS;
  const lasts = rows.map((row) => table.exposingMs[row]! + moveMs);
  const work = lasts.reduce((sum, each) => sum + each, 0);
  const idleShare = Math.max(0, 1 - work / (endUnixMs - fromUnixMs));
  const costs = rows.map((row) => costsByBin(problem, row, binMs, moveMs, idleShare));
  const price = new Float64Array(BINS);
  const load = new Float64Array(BINS);
  const sum = new Float64Array(rows.length);
  const times = new Int32Array(rows.length);
  for (let round = 0; round < ROUNDS; round++) {
    load.fill(0);
    for (let index = 0; index < rows.length; index++) {
      const bin = cheapest(costs[index]!, price, lasts[index]!);
      if (bin < 0) continue;
      load[bin]! += lasts[index]!;
      if (round < ROUNDS / 2) continue;
      sum[index]! += bin;
      times[index]!++;
    }
    const step = PRICE_STEP / (1 + round / 4) / moveMs;
    for (let bin = 0; bin < BINS; bin++)
      price[bin] = Math.max(0, price[bin]! + step * (load[bin]! / binMs - 1));
  }
  return [...rows.keys()]
    .filter((index) => times[index]! > 0)
    .sort((a, b) => sum[a]! / times[a]! - sum[b]! / times[b]! || rows[a]! - rows[b]!)
    .map((index) => rows[index]!);
}

/** The bin of least cost with its price, where that is less than having it done is worth; −1 for none. */
function cheapest(costs: Float64Array, price: Float64Array, lastsMs: Millis): number {
  let best = -1;
  let least = WORTH;
  for (let bin = 0; bin < BINS; bin++) {
    const cost = costs[bin]! + price[bin]! * lastsMs;
    if (cost >= least) continue;
    least = cost;
    best = bin;
  }
  return best;
}

/** What it costs to start in each bin; Infinity where it may not. */
function costsByBin(
  problem: Problem,
  row: number,
  binMs: Millis,
  readyMs: Millis,
  idleShare: number,
): Float64Array {
  const { fromUnixMs, untilUnixMs, table } = problem.task;
  const costs = new Float64Array(BINS).fill(Number.POSITIVE_INFINITY);
  for (const { openUnixMs, closeUnixMs } of table.groups[table.group[row]!]!.night.windows) {
    const last = Math.min(closeUnixMs, untilUnixMs) - readyMs - table.exposingMs[row]!;
    for (let bin = 0; bin < BINS; bin++) {
      const at = fromUnixMs + bin * binMs;
      const start = Math.max(at, openUnixMs, problem.earliest[row]!);
      if (start >= at + binMs || start > last) continue;
      costs[bin] = problem.cost(row, start, readyMs, idleShare * (start - fromUnixMs));
    }
  }
  return costs;
}

/** What it takes to get ready for a target, on the whole: a third of the longest ways, and the hand-over. */
export function usualReadyMs({ task, rows }: Problem): Millis {
  const { machines, table, fromUnixMs } = task;
  const stride = Math.max(1, Math.floor(rows / LOOKS));
  let sum = 0;
  let count = 0;
  for (let row = 0; row < rows; row += stride) {
    const { track } = table.groups[table.group[row]!]!.night;
    const times = machines.times(track, fromUnixMs, table.requests[row]!);
    sum += times.settleMs + times.handOverMs + Math.max(times.slewMs, times.domeMs) / 3;
    count++;
  }
  return Math.max(SECOND, sum / Math.max(1, count));
}

function lastClose({ task }: Problem, row: number): UtcMillis {
  const close = task.table.groups[task.table.group[row]!]!.night.windows.at(-1)?.closeUnixMs;
  return Math.min(task.untilUnixMs, close ?? Number.NEGATIVE_INFINITY);
}
