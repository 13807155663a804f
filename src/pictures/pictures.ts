/** Charts as PNG, each with alt text computed from the same numbers. Interface; see draw.ts. */
import type { UtcMillis } from "../base/units.js";
import type { Estimate } from "../estimates/forecast-service.js";
import type { Observatory, Window } from "../observatory/observatory.js";
import type { Request, RuleName } from "../queue/request.js";
import type { Night } from "../sky/night.js";
import type { Target } from "../sky/target.js";
import type { Picture } from "./picture.js";

export interface QueueChartInput {
  readonly observatory: Observatory;
  readonly night: Night;
  readonly nowUnixMs: UtcMillis;
  /** Run order with estimates; `label` is what this reader may see ("#12 M13 · Mira"). */
  readonly rows: readonly {
    readonly request: Request;
    readonly estimate: Estimate;
    readonly label: string;
    readonly own: boolean;
  }[];
}

export interface TargetChartInput {
  readonly observatory: Observatory;
  readonly night: Night;
  readonly nowUnixMs: UtcMillis;
  readonly target: Target;
  readonly windows: readonly Window[];
}

export interface TonightChartInput {
  readonly observatory: Observatory;
  readonly night: Night;
  readonly nowUnixMs: UtcMillis;
  /** A few suggested targets. */
  readonly targets: readonly Target[];
}

export interface CompareChartInput {
  /** One row for each rule; airmass and wait are NaN where nothing is completed. */
  readonly rules: readonly {
    readonly rule: RuleName;
    readonly inUse: boolean;
    readonly requestsCompleted: number;
    /** Gini coefficient of the owners' turns. */
    readonly turnsGini: number;
    readonly meanAirmass: number;
    readonly worstAirmass: number;
    readonly medianWaitMinutes: number;
    readonly worstWaitMinutes: number;
    readonly minutesMoving: number;
    readonly minutesExposing: number;
  }[];
}

export interface Pictures {
  /** Run order as bars in time, altitude at start written beside each. */
  queue(input: QueueChartInput): Promise<Picture>;
  /** Altitude through the night, window shaded, limits and Moon marked. */
  target(input: TargetChartInput): Promise<Picture>;
  /** Altitudes of several targets, twilight shaded. */
  tonight(input: TonightChartInput): Promise<Picture>;
  compare(input: CompareChartInput): Promise<Picture>;
}
