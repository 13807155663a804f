/** Faults planted on purpose: at which request, before or after it takes effect, and what goes wrong. */

export type Fault =
  /** The connection is cut with a TCP reset. */
  | { readonly do: "reset" }
  /** The connection is closed in good order, without an answer. */
  | { readonly do: "close" }
  /** No answer ever comes. */
  | { readonly do: "stall" }
  | { readonly do: "status"; readonly status: number }
  | {
      readonly do: "rate-limit";
      readonly retryAfterSeconds: number;
      readonly global?: boolean;
    }
  /** Nothing goes wrong, but the test is told and may take its time (or kill the caller). */
  | { readonly do: "tell"; readonly tell: () => void | Promise<void> };

export interface PlantedFault {
  readonly method: string;
  /** Tested against the path after /api/v10. */
  readonly path: RegExp;
  /** `before` the request takes effect, or `after` it has. */
  readonly when: "before" | "after";
  /** How many requests it meets; then it is spent. */
  times: number;
  /** Requests of this kind let pass first. */
  skip: number;
  readonly fault: Fault;
}

export class Faults {
  private readonly planted: PlantedFault[] = [];

  /** Plants a fault for the next fitting request (or the next `times`, after `skip` others). */
  plant(
    when: "before" | "after",
    method: string,
    path: RegExp,
    fault: Fault,
    { times = 1, skip = 0 } = {},
  ): void {
    this.planted.push({ when, method, path, fault, times, skip });
  }

  /** The fault this request meets now, if any. */
  next(when: "before" | "after", method: string, path: string): Fault | null {
    const found = this.planted.find(
      (each) => each.when === when && each.method === method && each.times > 0 && each.path.test(path),
    );
    if (!found) return null;
    if (found.skip > 0) {
      found.skip--;
      return null;
    }
    found.times--;
    return found.fault;
  }

  /** Whether every planted fault has happened. */
  spent(): boolean {
    return this.planted.every((each) => each.times === 0);
  }

  clear(): void {
    this.planted.length = 0;
  }
}
