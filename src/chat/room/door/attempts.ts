/** Counts wrong codes: after some, each further try has to wait a little longer, and never very long. */
import type { Clock } from "../../../base/clock.js";
import { MINUTE, type Millis, SECOND, type UtcMillis } from "../../../base/units.js";

/** After so long without a wrong code, all is forgiven. */
const FORGIVEN_AFTER: Millis = 10 * MINUTE;
/** Of those remembered; a flood of invented keys pushes out the oldest. */
const MOST_KEYS = 10_000;

export class Attempts {
  private readonly wrong = new Map<string, { readonly times: number; readonly lastUnixMs: UtcMillis }>();

  /**
   * @param free wrong codes of one key before any delay; each one after that doubles it, from a second
   * @param longest delay between two tries, real milliseconds
   */
  constructor(
    private readonly clock: Clock,
    private readonly free: number,
    private readonly longest: Millis,
  ) {}

  /** Real milliseconds until the next try; 0 when one may be made now. */
  waitFor(key: string): Millis {
    const { times, lastUnixMs } = this.recent(key);
    if (times < this.free) return 0;
    const delay = Math.min(this.longest, SECOND * 2 ** Math.min(30, times - this.free));
    return Math.max(0, lastUnixMs + delay - this.clock.now());
  }

  /** Notes a wrong code. */
  failed(key: string): void {
    const times = this.recent(key).times + 1;
    this.wrong.delete(key);
    this.wrong.set(key, { times, lastUnixMs: this.clock.now() });
    if (this.wrong.size > MOST_KEYS) this.wrong.delete(this.wrong.keys().next().value as string);
  }

  private recent(key: string): { readonly times: number; readonly lastUnixMs: UtcMillis } {
    const noted = this.wrong.get(key);
    return noted && this.clock.now() - noted.lastUnixMs < FORGIVEN_AFTER
      ? noted
      : { times: 0, lastUnixMs: 0 };
  }
}

/** "8 s" or "5 min", never less than the wait. */
export function soon(wait: Millis): string {
  return wait <= MINUTE ? `${Math.ceil(wait / SECOND)} s` : `${Math.ceil(wait / MINUTE)} min`;
}

/** What counts as one address: an IPv6 host owns its whole /64. */
export function addressKey(address: string): string {
  const plain = address.replace(/^::ffff:(?=\d+\.)/, "");
  return plain.includes(":") ? plain.split(":").slice(0, 4).join(":") : plain;
}
