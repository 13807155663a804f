/** Lengths of time in words. */

/** "4 min 05 s", "2 h 10 min", "12 s": never negative. */
export function lengthText(ms: number): string {
  const seconds = Math.max(0, Math.round(ms / 1_000));
  if (seconds < 60) return `${seconds}\u00a0s`;
  const minutes = Math.floor(seconds / 60);
  if (minutes < 60) return `${minutes}\u00a0min ${String(seconds % 60).padStart(2, "0")}\u00a0s`;
  return `${Math.floor(minutes / 60)}\u00a0h ${String(minutes % 60).padStart(2, "0")}\u00a0min`;
}

/** The same in one unit from three minutes on: "4 min", "2 h 10 min", "2 min 05 s". */
export function shortLength(ms: number): string {
  const isMinutes = ms >= 180_000 && ms < 3_600_000;
  return isMinutes ? `${Math.round(ms / 60_000)}\u00a0min` : lengthText(ms);
}
