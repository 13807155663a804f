/**
 * Chances that come true: a spread's chance is bent by a logistic regression of what past chances came to (J. C. Platt
 * 1999 for classifiers), held back by a ridge so that few nights bend it little (le Cessie & van Houwelingen 1992, Applied
 * Statistics 41, 191). Apart for answers given under a hold; each night counts as one. The weights are our own choice.
 */
import type { Calibration, ChanceOutcome } from "./calibration.js";

/** Beyond these a chance is as good as certain. */
const LEAST = 0.004;
/** The ridge counts as so many nights. */
const RIDGE = 2;
const FADES = 0.97;
/** A night counts fully from so many outcomes on. */
const FULL = 6;
const STEPS = 60;

/** σ(offset + slope · logit p). */
interface Bend {
  readonly offset: number;
  readonly slope: number;
}

const known = new WeakMap<Calibration, Map<string, Bend>>();

/**
 * The chance to show.
 * @param night the present one, which teaches nothing until it is over
 */
export function chanceFor(
  calibration: Calibration,
  night: string | null,
  chance: number,
  isHeld: boolean,
): number {
  const bends = known.get(calibration) ?? new Map<string, Bend>();
  known.set(calibration, bends);
  const key = `${night} ${isHeld}`;
  const bend = bends.get(key) ?? learnBend(calibration, night, isHeld);
  bends.set(key, bend);
  if (bend === STRAIGHT) return chance;
  return logistic(bend.offset + bend.slope * logit(chance));
}

const STRAIGHT: Bend = { offset: 0, slope: 1 };

function learnBend(calibration: Calibration, night: string | null, isHeld: boolean): Bend {
  const past = calibration.filter((each) => each.night !== night);
  const seen = past.flatMap(({ chances }, index) => {
    const own = chances.filter(({ held }) => held === isHeld);
    const weight =
      (FADES ** (past.length - 1 - index) * Math.min(1, own.length / FULL)) / Math.max(1, own.length);
    return own.map((each) => ({ ...each, weight }));
  });
  return seen.length === 0 ? STRAIGHT : bendThrough(seen);
}

/** By steps that cannot overshoot: the curvature's upper bound stands for it (Böhning & Lindsay 1988, AISM 40, 641). */
function bendThrough(seen: readonly (ChanceOutcome & { readonly weight: number })[]): Bend {
  const points = seen.map(({ said, came, weight }) => ({ x: logit(said), y: came ? 1 : 0, weight }));
  const total = (of: (point: (typeof points)[number]) => number): number =>
    points.reduce((sum, point) => sum + point.weight * of(point), 0);
  const h00 = RIDGE + total(() => 1) / 4;
  const h01 = total(({ x }) => x) / 4;
  const h11 = RIDGE + total(({ x }) => x * x) / 4;
  const determinant = h00 * h11 - h01 * h01;
  let { offset, slope } = STRAIGHT;
  for (let step = 0; step < STEPS; step++) {
    let g0 = -RIDGE * offset;
    let g1 = -RIDGE * (slope - 1);
    for (const { x, y, weight } of points) {
      const residual = weight * (y - logistic(offset + slope * x));
      g0 += residual;
      g1 += residual * x;
    }
    offset += (h11 * g0 - h01 * g1) / determinant;
    slope += (h00 * g1 - h01 * g0) / determinant;
  }
  return { offset, slope: Math.max(0, slope) };
}

function logit(chance: number): number {
  const p = Math.min(1 - LEAST, Math.max(LEAST, chance));
  return Math.log(p / (1 - p));
}

function logistic(x: number): number {
  return 1 / (1 + Math.exp(-x));
}
