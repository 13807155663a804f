/** What the figures are held against: stricter for the default truth, on which most was chosen, than for others. */
export interface Goals {
  /** Coverage of the 80 % range: overall, at each horizon, and on the first night of a new site. */
  readonly coverage: Bounds;
  readonly eachHorizon: Bounds;
  readonly firstNights: Bounds;
  /** Interval score over the oracle's, all together and by the median night, and over a plain empirical range's. */
  readonly overOracle: number;
  readonly overOracleNightly: number;
  readonly overUsual: number;
}

export interface Bounds {
  readonly least: number;
  readonly most: number;
}

const DEFAULT: Goals = {
  coverage: { least: 0.76, most: 0.84 },
  eachHorizon: { least: 0.72, most: 0.88 },
  firstNights: { least: 0.72, most: 0.9 },
  overOracle: 1.25,
  overOracleNightly: 1.3,
  overUsual: 0.85,
};

const OTHERS: Goals = {
  ...DEFAULT,
  coverage: { least: 0.73, most: 0.87 },
  firstNights: { least: 0.7, most: 1 },
  overOracle: 1.5,
  overUsual: 1,
};

/** Mean absolute error against the best plain predictor's; bias against the mean wait. */
export const OF_BEST_BASELINE = 0.5;
export const OF_MEAN_WAIT = 0.1;

/** @param truth its file's name without the ending; "default" for the one that is shipped as such */
export function goalsFor(truth: string): Goals {
  if (truth === "default") return DEFAULT;
  return truth === "ninety" ? { ...OTHERS, overOracle: 1.8 } : OTHERS;
}

export function isWithin(value: number, { least, most }: Bounds): boolean {
  return value >= least && value <= most;
}
