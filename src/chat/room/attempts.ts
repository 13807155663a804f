/** Counts wrong codes, so that guessing takes longer than a class lasts. */
import type { Clock } from "../../base/clock.js";
import { MINUTE, type Millis, type UtcMillis } from "../../base/units.js";

const WITHIN: Millis = 5 * MINUTE;
/** Of those remembered; a flood of invented keys pushes out the oldest. */
const MOST_KEYS = 10_000;

export class Attempts {
  private readonly failures = new Map<string, UtcMillis[]>();

  /** @param most failures allowed for one key within five real minutes */
  constructor(
    private readonly clock: Clock,
    private readonly most: number,
  ) {}

  /** Minutes to wait before the next try, rounded up; 0 when one may be made now. */
  minutesToWait(key: string): number {
    const recent = this.recent(key);
    if (recent.length < this.most) return 0;
    const freeUnixMs = (recent[recent.length - this.most] as UtcMillis) + WITHIN;
    return Math.max(1, Math.ceil((freeUnixMs - this.clock.now()) / MINUTE));
  }

  /** Notes a wrong code. */
  failed(key: string): void {
    const times = [...this.recent(key), this.clock.now()].slice(-this.most);
    this.failures.delete(key);
    this.failures.set(key, times);
    if (this.failures.size > MOST_KEYS) this.failures.delete(this.failures.keys().next().value as string);
  }

  private recent(key: string): UtcMillis[] {
    const since = this.clock.now() - WITHIN;
    return (this.failures.get(key) ?? []).filter((unixMs) => unixMs > since);
  }
}

/** What counts as one address: an IPv6 host owns its whole /64. */
export function addressKey(address: string): string {
  const plain = address.replace(/^::ffff:(?=\d+\.)/, "");
  return plain.includes(":") ? plain.split(":").slice(0, 4).join(":") : plain;
}
