/**
 * How long to wait for height, in a given order: pooling adjacent violators (isotonic regression; Best, Chakravarti
 * & Ubhaya 2000, SIAM J. Optim. 10, 658, for convex costs in general). Each turn has its own best start; neighbours
 * that get in one another's way form a block that waits together.
 */
import { MINUTE, type UtcMillis } from "../../base/units.js";
import type { Schedule } from "./schedule.js";
import { IDLE_PRICE, SAFE_BEFORE_LATEST, WAIT_PRICE } from "./worth.js";

/** Waits shorter than this are not worth having. */
const LEAST_WAIT = MINUTE;
const STEPS = 14;
const GOLDEN = (Math.sqrt(5) - 1) / 2;

/** Places `from` … `to − 1`, which start `shift` later than when each starts as soon as it may. */
interface Block {
  readonly from: number;
  readonly to: number;
  /** In the time that remains when all that the telescope does is taken out. */
  readonly low: number;
  readonly high: number;
  at: number;
}

/** Plays rows one after another, everyone waiting for height as long as that is worth it. */
export function playWaiting(schedule: Schedule, rows: ArrayLike<number>): number {
  const soonest = schedule.play(rows);
  const waits = placeWaits(schedule);
  if (waits === null) return soonest;
  const { count } = schedule;
  const kept = schedule.order.slice(0, count);
  if (schedule.play(kept, waits) >= soonest && schedule.count === count) return schedule.value;
  return schedule.play(kept);
}

/** By place: not before; null when nobody waits. The schedule was played without waits. */
function placeWaits(schedule: Schedule): Float64Array | null {
  const { count, start, free, problem } = schedule;
  const busy = new Float64Array(count);
  for (let place = 1; place < count; place++)
    busy[place] = busy[place - 1]! + free[place - 1]! - start[place - 1]!;
  const blocks: Block[] = [];
  for (let place = 0; place < count; place++) {
    const low = start[place]! - busy[place]!;
    let block = settled(schedule, busy, {
      from: place,
      to: place + 1,
      low,
      high: low + mayWait(schedule, place),
      at: low,
    });
    for (let last = blocks.at(-1); last !== undefined && last.at >= block.at; last = blocks.at(-1)) {
      blocks.pop();
      block = settled(schedule, busy, {
        from: last.from,
        to: block.to,
        low: Math.max(last.low, block.low),
        high: Math.max(last.low, block.low, Math.min(last.high, block.high)),
        at: 0,
      });
    }
    blocks.push(block);
  }
  const waits = new Float64Array(count).fill(Number.NEGATIVE_INFINITY);
  let any = false;
  for (const { from, to, at } of blocks) {
    for (let place = from; place < to; place++) {
      const unixMs: UtcMillis = Math.round(at + busy[place]!);
      if (unixMs - start[place]! < LEAST_WAIT || problem.isFixed(schedule.order[place]!)) continue;
      if (place === from) {
        waits[place] = unixMs;
        any = true;
      }
    }
  }
  return any ? waits : null;
}

function mayWait({ problem, order, start, ready }: Schedule, place: number): number {
  const row = order[place]!;
  if (problem.isFixed(row)) return 0;
  return Math.max(0, problem.spareMs(row, start[place]!, ready[place]!) - SAFE_BEFORE_LATEST);
}

/** With the block where it costs least. */
function settled(schedule: Schedule, busy: Float64Array, block: Block): Block {
  const { low, high } = block;
  const cost = (at: number): number => blockCost(schedule, busy, block, at);
  block.at = low;
  if (high - low < LEAST_WAIT || cost(low + LEAST_WAIT) >= cost(low)) return block;
  let from = low;
  let to = high;
  let one = to - GOLDEN * (to - from);
  let two = from + GOLDEN * (to - from);
  let costOne = cost(one);
  let costTwo = cost(two);
  for (let step = 0; step < STEPS; step++) {
    if (costOne <= costTwo) {
      to = two;
      two = one;
      costTwo = costOne;
      one = to - GOLDEN * (to - from);
      costOne = cost(one);
    } else {
      from = one;
      one = two;
      costOne = costTwo;
      two = from + GOLDEN * (to - from);
      costTwo = cost(two);
    }
  }
  block.at = (from + to) / 2;
  return block;
}

function blockCost(
  { problem, order, ready }: Schedule,
  busy: Float64Array,
  block: Block,
  at: number,
): number {
  let cost = 0;
  for (let place = block.from; place < block.to; place++)
    cost += problem.airmass(order[place]!, at + busy[place]! + ready[place]!);
  return cost + (block.to - block.from) * (IDLE_PRICE + WAIT_PRICE) * at;
}
