/** Waiting for what comes in its own time: as long as a machine with much else to do may need, not as it usually takes. */
import { vi } from "vitest";

/** Tries `check` until it throws no more; resolves with what it gives. */
export function eventually<Result>(check: () => Result | Promise<Result>): Promise<Result> {
  return vi.waitFor(check, { timeout: 60_000, interval: 50 });
}
