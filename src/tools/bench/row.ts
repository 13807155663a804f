/** One measured figure beside its limit. */

export interface BenchRow {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  /** What the figure is held to; null for one that only informs. */
  readonly limit: number | null;
  /** The limit is the least, not the most. */
  readonly atLeast: boolean;
  readonly ok: boolean;
}

/** A file of this folder measures one thing. */
export type Measurement = () => Promise<readonly BenchRow[]> | readonly BenchRow[];

/** A figure that must not exceed its limit. */
export function atMost(name: string, value: number, unit: string, limit: number): BenchRow {
  return { name, value, unit, limit, atLeast: false, ok: value <= limit };
}

/** A figure that must reach its limit. */
export function atLeast(name: string, value: number, unit: string, limit: number): BenchRow {
  return { name, value, unit, limit, atLeast: true, ok: value >= limit };
}

/** A figure for comparison. */
export function figure(name: string, value: number, unit: string): BenchRow {
  return { name, value, unit, limit: null, atLeast: false, ok: true };
}

/** The middle value. */
export function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] as number;
}
