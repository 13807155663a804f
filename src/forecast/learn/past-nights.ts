/** How the class has asked: night by night, each request counted from that night's dusk. */
import { DAY, type Millis, type UtcMillis } from "../../base/units.js";
import type { Observatory } from "../../observatory/observatory.js";
import type { Request } from "../../queue/request.js";
import type { Night } from "../../sky/night.js";
import { whileSunBelow } from "../../sky/twilight.js";

/** What was asked in one night, in order of asking. */
export interface AskedNight {
  readonly startUnixMs: UtcMillis;
  readonly duskUnixMs: UtcMillis;
  readonly askedUnixMs: readonly UtcMillis[];
  readonly tiers: readonly number[];
}

const known = new WeakMap<Observatory, Map<UtcMillis, UtcMillis>>();

/** When it gets dark enough for faint targets, or else for bright ones, or else the middle of the night. */
export function duskOf({ startUnixMs, endUnixMs }: Omit<Night, "date">, observatory: Observatory): UtcMillis {
  const dusks = known.get(observatory) ?? new Map<UtcMillis, UtcMillis>();
  known.set(observatory, dusks);
  const found = dusks.get(startUnixMs);
  if (found !== undefined) return found;
  const { site, limits } = observatory;
  const night = { date: "", startUnixMs, endUnixMs };
  const [dark] = whileSunBelow(limits.sunAltitudeDegrees, night, site);
  const [dusky] = dark ? [dark] : whileSunBelow(limits.brightSunAltitudeDegrees, night, site);
  const dusk = dusky?.openUnixMs ?? (startUnixMs + endUnixMs) / 2;
  dusks.set(startUnixMs, dusk);
  return dusk;
}

/** The nights on which anything was asked for, oldest first; at most `most` of them before this one. */
export function askedNights(
  requests: readonly Pick<Request, "askedUnixMs" | "tier">[],
  { startUnixMs }: Night,
  observatory: Observatory,
  most: number,
): readonly AskedNight[] {
  const byDay = new Map<number, { askedUnixMs: UtcMillis[]; tiers: number[] }>();
  for (const { askedUnixMs, tier } of requests) {
    const day = Math.min(0, Math.floor((askedUnixMs - startUnixMs) / DAY));
    const night = byDay.get(day) ?? { askedUnixMs: [], tiers: [] };
    byDay.set(day, night);
    night.askedUnixMs.push(askedUnixMs);
    night.tiers.push(tier);
  }
  const days = [...byDay.keys()].sort((a, b) => a - b).slice(-most - 1);
  return days.map((day) => {
    const start = startUnixMs + day * DAY;
    const duskUnixMs = duskOf({ startUnixMs: start, endUnixMs: start + DAY }, observatory);
    return {
      startUnixMs: start,
      duskUnixMs,
      ...(byDay.get(day) as { askedUnixMs: Millis[]; tiers: number[] }),
    };
  });
}
