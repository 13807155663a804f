/** One search for them all: when does a function of time cross zero, and while is it not negative? */
import type { Millis, UtcMillis } from "../base/units.js";
import type { Interval } from "./interval.js";

/** A function of time that knows how finely it must be looked at. */
export interface Curve {
  /** Continuous, or with jumps at `marks`; defined a step beyond the searched range as well. */
  at(unixMs: UtcMillis): number;
  /** At most one hump or hollow fits into two steps. */
  readonly stepMs: Millis;
  /** Further instants to look at, in order: corners, where the function bends sharply. */
  readonly marks?: readonly UtcMillis[];
}

/** Where a curve changes sign. */
export interface Crossing {
  readonly unixMs: UtcMillis;
  /** true: from negative to not negative. */
  readonly rising: boolean;
}

/** Crossings are found to within this. */
const TOLERANCE: Millis = 1;

interface Sample {
  readonly unixMs: UtcMillis;
  readonly value: number;
}

/**
 * All crossings in [from, to], in order, each within a millisecond.
 * A hump that just reaches over zero between two looks is found too, however short.
 */
export function crossingsOf(curve: Curve, fromUnixMs: UtcMillis, toUnixMs: UtcMillis): Crossing[] {
  const samples = withTurningPoints(curve, sampled(curve, fromUnixMs, toUnixMs));
  const crossings: Crossing[] = [];
  for (let index = 1; index < samples.length; index++) {
    const before = samples[index - 1]!;
    const after = samples[index]!;
    const rising = before.value < 0;
    if (rising === after.value < 0) continue;
    const unixMs = rootBetween(curve, before, after);
    if (unixMs >= fromUnixMs && unixMs <= toUnixMs) crossings.push({ unixMs, rising });
  }
  return crossings;
}

/** The stretches of [from, to] in which the curve is not negative. */
export function whileNotNegative(curve: Curve, fromUnixMs: UtcMillis, toUnixMs: UtcMillis): Interval[] {
  const stretches: Interval[] = [];
  let openUnixMs: UtcMillis | null = curve.at(fromUnixMs) >= 0 ? fromUnixMs : null;
  for (const { unixMs, rising } of crossingsOf(curve, fromUnixMs, toUnixMs)) {
    if (rising) openUnixMs ??= unixMs;
    else if (openUnixMs !== null) {
      stretches.push({ openUnixMs, closeUnixMs: unixMs });
      openUnixMs = null;
    }
  }
  if (openUnixMs !== null) stretches.push({ openUnixMs, closeUnixMs: toUnixMs });
  return stretches;
}

/** Even looks from one step before to one step after, and the marks among them. */
function sampled(curve: Curve, fromUnixMs: UtcMillis, toUnixMs: UtcMillis): Sample[] {
  const steps = Math.max(1, Math.ceil((toUnixMs - fromUnixMs) / curve.stepMs));
  const stepMs = (toUnixMs - fromUnixMs) / steps || curve.stepMs;
  const times: UtcMillis[] = [];
  for (let index = -1; index <= steps + 1; index++) times.push(fromUnixMs + index * stepMs);
  const marks = curve.marks?.filter((mark) => mark > fromUnixMs && mark < toUnixMs) ?? [];
  if (marks.length > 0) times.push(...marks);
  if (marks.length > 0) times.sort((a, b) => a - b);
  return times.map((unixMs) => ({ unixMs, value: curve.at(unixMs) }));
}

/** Adds the tip of every hump or hollow that may cross zero unseen between two looks. */
function withTurningPoints(curve: Curve, samples: readonly Sample[]): Sample[] {
  const all: Sample[] = [];
  for (let index = 0; index < samples.length; index++) {
    const here = samples[index]!;
    all.push(here);
    const before = samples[index - 1];
    const after = samples[index + 1];
    if (before === undefined || after === undefined) continue;
    const sign = here.value < 0 ? -1 : 1;
    const sameSide = before.value < 0 === here.value < 0 && after.value < 0 === here.value < 0;
    if (!sameSide || here.value * sign > before.value * sign || here.value * sign > after.value * sign)
      continue;
    const tip = tipBetween(curve, sign, before.unixMs, after.unixMs);
    if (tip === null) continue;
    if (tip.unixMs < here.unixMs) all.splice(all.length - 1, 0, tip);
    else if (tip.unixMs > here.unixMs) all.push(tip);
  }
  return all;
}

/** Golden-section search for a point on the other side of zero; null when the tip stays on this side. */
function tipBetween(curve: Curve, sign: number, from: UtcMillis, to: UtcMillis): Sample | null {
  const golden = (Math.sqrt(5) - 1) / 2;
  let low = from;
  let high = to;
  let left = high - golden * (high - low);
  let right = low + golden * (high - low);
  let leftValue = curve.at(left);
  let rightValue = curve.at(right);
  for (;;) {
    if (leftValue < 0 !== sign < 0) return { unixMs: left, value: leftValue };
    if (rightValue < 0 !== sign < 0) return { unixMs: right, value: rightValue };
    if (high - low < 200) return null;
    if (leftValue * sign < rightValue * sign) {
      high = right;
      right = left;
      rightValue = leftValue;
      left = high - golden * (high - low);
      leftValue = curve.at(left);
    } else {
      low = left;
      left = right;
      leftValue = rightValue;
      right = low + golden * (high - low);
      rightValue = curve.at(right);
    }
  }
}

/**
 * Regula falsi in the Illinois form (Dowell & Jarratt 1971, BIT 11, 168), with a halving whenever it is slow
 * (a jump). Returns the end of the last bracket at which the curve is not negative.
 */
function rootBetween(curve: Curve, before: Sample, after: Sample): UtcMillis {
  let { unixMs: low, value: lowValue } = before;
  let { unixMs: high, value: highValue } = after;
  const rising = lowValue < 0;
  let lastSide = 0;
  for (let turn = 1; high - low > TOLERANCE; turn++) {
    const secant = high - (highValue * (high - low)) / (highValue - lowValue);
    const inside = Math.min(Math.max(secant, low + TOLERANCE / 2), high - TOLERANCE / 2);
    const middle = turn % 4 === 0 ? (low + high) / 2 : inside;
    const value = curve.at(middle);
    const side = value < 0 === rising ? -1 : 1;
    if (side < 0) {
      low = middle;
      lowValue = value;
      if (lastSide < 0) highValue /= 2;
    } else {
      high = middle;
      highValue = value;
      if (lastSide > 0) lowValue /= 2;
    }
    lastSide = side;
  }
  return rising ? high : low;
}
