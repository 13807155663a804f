/** The telescope of a truth night: moves as configured machines would, in the time the true ones take. */
import { type Millis, SECOND, type UtcMillis } from "../../base/units.js";
import type { OverheadSample } from "../../journal/events.js";
import { type Timing, timingOf } from "../../observatory/action-times.js";
import { aimAfterTracking, aimAt } from "../../observatory/aim.js";
import { type ActionTimes, CONFIGURED_OVERHEADS, type Pointing } from "../../observatory/observatory.js";
import type { Request } from "../../queue/request.js";
import { type TargetNights, targetNights } from "../../queue/target-night.js";
import { airmassAtTrue } from "../../sky/airmass.js";
import { sinAltitudeAt } from "../../sky/track.js";
import type { TrueTimes } from "./truth/machines.js";
import type { Fate, TruthNight } from "./truth/night.js";

/** One action from its first move to the hand-over, as it will turn out. */
export interface ActionDone {
  readonly request: Request;
  readonly takenUnixMs: UtcMillis;
  /** When it is really over, and when it was planned to be. */
  readonly freeUnixMs: UtcMillis;
  readonly plannedFreeUnixMs: UtcMillis;
  readonly pointingAfter: Pointing;
  /** When exposures began. */
  readonly airmass: number;
  readonly fate: Fate;
  /** Its frames are lost to cloud. */
  readonly lost: boolean;
  /** As configured, with the read-out that its exposures contain. */
  readonly configured: ActionTimes;
  readonly readOutMs: Millis;
  /** What each part took; empty where the telescope does not tell them apart. */
  readonly samples: readonly OverheadSample[];
}

export class Telescope {
  private readonly timing: Timing;
  private readonly nights: TargetNights;
  private readonly attempts = new Map<number, number>();

  constructor(
    private readonly truth: TruthNight,
    private readonly measures: "components" | "total",
  ) {
    const { observatory, night } = truth;
    this.timing = timingOf(observatory, CONFIGURED_OVERHEADS);
    this.nights = targetNights(night.startUnixMs, observatory);
  }

  act(request: Request, takenUnixMs: UtcMillis, from: Pointing, plannedFreeUnixMs: UtcMillis): ActionDone {
    const { truth, timing } = this;
    const { observatory } = truth;
    const { number, frames, target } = request;
    const attempt = (this.attempts.get(number) ?? 0) + 1;
    this.attempts.set(number, attempt);
    const { track } = this.nights(target);
    const aim = aimAt(track, takenUnixMs, observatory);
    const configured = timing.times(from, aim, request);
    const readOutMs = frames * observatory.camera.readOutSeconds * SECOND;
    const real = truth.times(configured, { number, attempt, atUnixMs: takenUnixMs, readOutMs });
    const exposingUnixMs = takenUnixMs + real.times.readyMs;
    const freeUnixMs = takenUnixMs + real.times.totalMs;
    return {
      request,
      configured,
      readOutMs,
      takenUnixMs,
      freeUnixMs,
      plannedFreeUnixMs,
      pointingAfter: timing.pointingAfter(
        aimAfterTracking(aim, track, freeUnixMs, observatory),
        request.filter,
      ),
      airmass: airmassAtSine(sinAltitudeAt(track, exposingUnixMs)),
      fate: truth.fate(number, attempt),
      lost: this.isClouded(exposingUnixMs, freeUnixMs) && truth.lostToCloud(number, attempt),
      samples: this.measures === "total" ? [] : componentSamples(configured, readOutMs, real),
    };
  }

  private isClouded(fromUnixMs: UtcMillis, untilUnixMs: UtcMillis): boolean {
    return this.truth.cloud.some((spell) => spell.fromUnixMs < untilUnixMs && spell.untilUnixMs > fromUnixMs);
  }
}

function airmassAtSine(sine: number): number {
  return airmassAtTrue((Math.asin(Math.max(-1, Math.min(1, sine))) * 180) / Math.PI);
}

function componentSamples(configured: ActionTimes, readOutMs: Millis, real: TrueTimes): OverheadSample[] {
  const { times } = real;
  const samples: OverheadSample[] = [
    { component: "slew", configuredMs: configured.slewMs, measuredMs: times.slewMs },
    { component: "dome", configuredMs: configured.domeMs, measuredMs: times.domeMs },
    { component: "filter", configuredMs: configured.filterMs, measuredMs: times.filterMs },
    { component: "shutter", configuredMs: configured.shutterMs, measuredMs: times.shutterMs },
    { component: "settle", configuredMs: configured.settleMs, measuredMs: times.settleMs },
    { component: "readOut", configuredMs: readOutMs, measuredMs: real.readOutMs },
    { component: "handOver", configuredMs: configured.handOverMs, measuredMs: times.handOverMs },
  ];
  return samples.filter(({ configuredMs }) => configuredMs > 0);
}
