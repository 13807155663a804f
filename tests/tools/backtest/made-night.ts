/** Truth nights made by hand: nothing happens in them that a test has not asked for. */

import { HOUR, type UtcMillis } from "../../../src/base/units.js";
import type { Observatory } from "../../../src/observatory/observatory.js";
import type { Request } from "../../../src/queue/request.js";
import { nightNamed } from "../../../src/sky/night.js";
import type { TruthNight } from "../../../src/tools/backtest/truth/night.js";
import { ternHollow } from "../../forecast/random-night.js";

/** A night in which all goes as configured; `changes` are what the test is about. */
export function madeNight(
  date: string,
  requests: readonly Request[],
  changes: Partial<TruthNight> = {},
): TruthNight {
  const observatory = changes.observatory ?? ternHollow;
  const night = nightNamed(date, observatory.site.timeZone);
  const duskUnixMs = night.startUnixMs + 6 * HOUR;
  return {
    night,
    hours: {
      duskUnixMs,
      dawnUnixMs: night.endUnixMs - 6 * HOUR,
      classBeginsUnixMs: duskUnixMs,
      classEndsUnixMs: duskUnixMs + HOUR,
    },
    observatory,
    requests,
    withdrawnUnixMs: () => Number.POSITIVE_INFINITY,
    cloud: [],
    // No law has made it, so no oracle is asked about it.
    laws: null as never,
    times: (configured, { readOutMs }) => ({ times: configured, readOutMs }),
    fate: () => ({ fails: false }),
    lostToCloud: () => false,
    ...changes,
  };
}

/** Nobody looks a second time. */
export const never = (): UtcMillis => Number.POSITIVE_INFINITY;

/**
 * A telescope that is nothing but a server: under the pole in the polar night its one target is always up, no
 * move takes any time, and a request takes exactly its exposure.
 */
export const polarServer: Observatory = {
  ...ternHollow,
  site: { ...ternHollow.site, latitudeDegrees: 90, longitudeDegrees: 0, timeZone: "Etc/UTC" },
  mount: {
    kind: "equatorial-fork",
    firstAxis: { speed: 1e9, acceleration: 1e12 },
    secondAxis: { speed: 1e9, acceleration: 1e12 },
    settleSeconds: 0,
  },
  dome: null,
  camera: { ...ternHollow.camera, readOutSeconds: 0 },
  limits: { ...ternHollow.limits, horizonMask: [], hourAngleHours: null, zenithHoleDegrees: null },
  handOverSeconds: 0,
};
