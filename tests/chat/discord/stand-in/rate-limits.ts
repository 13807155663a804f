/** The platform's rate limits as documented by their headers: a global one, and buckets by route. */
import { SECOND, type UtcMillis } from "../../../../src/base/units.js";

export interface RateLimitRules {
  /** Requests a second over all routes; answers to interactions do not count (documented). */
  readonly globalPerSecond: number;
  /** Requests to one channel's message routes, each method by itself, in `windowMs`. */
  readonly perChannelRoute: number;
  readonly windowMs: number;
}

export const PLATFORM_LIMITS: RateLimitRules = {
  globalPerSecond: 50,
  perChannelRoute: 5,
  windowMs: 5 * SECOND,
};

interface Window {
  startedUnixMs: UtcMillis;
  used: number;
}

export type Allowance =
  | { readonly allowed: true; readonly headers: Record<string, string> }
  | {
      readonly allowed: false;
      readonly headers: Record<string, string>;
      readonly retryAfterSeconds: number;
      readonly global: boolean;
    };

/** Counts requests in real time: the client's own waiting is real too. */
export class RateLimits {
  private readonly windows = new Map<string, Window>();
  /** How often a request was turned away. */
  refusals = 0;

  constructor(
    readonly rules: RateLimitRules,
    private readonly now: () => UtcMillis,
  ) {}

  ask(method: string, path: string): Allowance {
    if (/^\/interactions\//.test(path)) return { allowed: true, headers: {} };
    const bucket = bucketOf(method, path);
    // Answers to interactions through their webhook have no part in the bot's own limit (documented).
    const global = /^\/webhooks\//.test(path) ? { startedUnixMs: 0, used: 0 } : this.window("global", SECOND);
    if (global.used >= this.rules.globalPerSecond)
      return this.refuse(global.startedUnixMs + SECOND, true, "global");
    if (bucket === null) {
      global.used++;
      return { allowed: true, headers: {} };
    }
    const own = this.window(bucket, this.rules.windowMs);
    const resetUnixMs = own.startedUnixMs + this.rules.windowMs;
    if (own.used >= this.rules.perChannelRoute) return this.refuse(resetUnixMs, false, bucket);
    global.used++;
    own.used++;
    return { allowed: true, headers: this.headers(bucket, own, resetUnixMs) };
  }

  private window(key: string, lengthMs: number): Window {
    const now = this.now();
    const found = this.windows.get(key);
    if (found && now - found.startedUnixMs < lengthMs) return found;
    const fresh = { startedUnixMs: now, used: 0 };
    this.windows.set(key, fresh);
    return fresh;
  }

  private headers(bucket: string, window: Window, resetUnixMs: UtcMillis): Record<string, string> {
    return {
      "x-ratelimit-limit": String(this.rules.perChannelRoute),
      "x-ratelimit-remaining": String(this.rules.perChannelRoute - window.used),
      "x-ratelimit-reset": (resetUnixMs / 1000).toFixed(3),
      "x-ratelimit-reset-after": (Math.max(0, resetUnixMs - this.now()) / 1000).toFixed(3),
      "x-ratelimit-bucket": bucket.replaceAll(/\d{15,}/g, "id").replaceAll(/\W/g, ""),
    };
  }

  private refuse(resetUnixMs: UtcMillis, global: boolean, bucket: string): Allowance {
    this.refusals++;
    const retryAfterSeconds = Math.max(0.001, (resetUnixMs - this.now()) / 1000);
    const window = this.windows.get(bucket) as Window;
    return {
      allowed: false,
      retryAfterSeconds,
      global,
      headers: global
        ? { "x-ratelimit-global": "true", "x-ratelimit-scope": "global" }
        : { ...this.headers(bucket, window, resetUnixMs), "x-ratelimit-scope": "user" },
    };
  }
}

/** The bucket of a message route: its method and top-level resource; null for routes without one here. */
function bucketOf(method: string, path: string): string | null {
  const channel = /^\/channels\/(\d+)\/messages/.exec(path);
  if (channel) return `${method}:${channel[1]}:messages`;
  const webhook = /^\/webhooks\/(\d+)\/([^/]+)/.exec(path);
  return webhook ? `${method}:${webhook[2]}:webhook` : null;
}
