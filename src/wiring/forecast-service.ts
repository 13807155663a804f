/** The forecast that commands ask: worked out once for each state and minute, from the desk's state. */
import type { Clock } from "../base/clock.js";
import { MINUTE, type UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import type { Estimate, ForecastService } from "../forecast/forecast-service.js";
import type { Step } from "../forecast/night-run.js";
import { firstStep } from "../forecast/play-night.js";
import { Tonight } from "../forecast/tonight.js";
import type { Desk } from "../journal/desk.js";
import type { State } from "../journal/state.js";
import type { Request } from "../queue/request.js";
import { nightInput } from "./night-input.js";

export interface ForecastParts {
  readonly desk: Pick<Desk, "state">;
  readonly config: Config;
  readonly clock: Clock;
}

/** Opens the forecast over a desk. */
export function openForecast({ desk, config, clock }: ForecastParts): ForecastService {
  let known: {
    readonly state: State;
    readonly entry: number;
    readonly minute: number;
    readonly tonight: Tonight;
  } | null = null;

  const tonight = (): Tonight => {
    const { state } = desk;
    const nowUnixMs = clock.now();
    const minute = Math.floor(nowUnixMs / MINUTE);
    const entry = state.lastEntryId;
    if (known?.state !== state || known.entry !== entry || known.minute !== minute)
      known = { state, entry, minute, tonight: new Tonight(nightInput(state, config, nowUnixMs)) };
    return known.tonight;
  };

  const estimate = (number: number): Estimate | null => {
    const { taken } = desk.state;
    return taken?.number === number ? observing(number, taken.takenUnixMs) : tonight().estimate(number);
  };

  const nextStep = (atUnixMs: UtcMillis = clock.now()): Step =>
    firstStep(nightInput(desk.state, config, atUnixMs));

  return {
    central: () => tonight().run,
    estimate,
    order: () => tonight().order(),
    nextStep,
    underRule: (rule) => tonight().underRule(rule).run,
    estimateIfAdded: (request: Request) => tonight().withAdded(request).estimate(request.number) as Estimate,
  };
}

/** Place 0: it has started already. */
function observing(number: number, takenUnixMs: UtcMillis): Estimate {
  return {
    number,
    place: 0,
    startUnixMs: takenUnixMs,
    earliestUnixMs: takenUnixMs,
    latestUnixMs: takenUnixMs,
    chanceTonight: 1,
    turn: null,
    noTurn: null,
    laterUnixMs: null,
  };
}
