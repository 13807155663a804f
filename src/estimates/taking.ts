/** A request is taken: what the journal then holds, and why it may not be, whoever says so. */
import { Refusal } from "../base/refusal.js";
import type { UtcMillis } from "../base/units.js";
import type { Work } from "../forecast/night-run.js";
import type { NightslateEvent } from "../journal/events.js";
import { heldBy } from "../journal/held-by.js";
import type { State } from "../journal/state.js";
import { airmassAtTrue } from "../sky/airmass.js";
import type { ForecastService } from "./forecast-service.js";
import { holdUntil } from "./night-input.js";

/** What was stopped stands, as whoever looks for the next one knows. */
export function stoodEvents({ stopping }: State): NightslateEvent[] {
  return stopping === null ? [] : [{ type: "telescope.stopped", number: stopping.number }];
}

/** An action begins. */
export function takenEvents(state: State, work: Work): NightslateEvent[] {
  const { number, freeUnixMs, altitudeDegrees, pointingAfter } = work;
  const airmass = airmassAtTrue(altitudeDegrees);
  return [
    ...stoodEvents(state),
    { type: "request.taken", number, freeUnixMs, altitudeDegrees, airmass, pointingAfter },
  ];
}

/**
 * An operator or a program says that it has taken a request, of which the queue knows nothing yet.
 * @throws {Refusal} codes "unknown-request", "busy", "on-hold", "not-waiting"
 */
export function takeOnWord(
  state: State,
  number: number,
  nowUnixMs: UtcMillis,
  forecast: Pick<ForecastService, "workAt">,
): NightslateEvent[] {
  const request = state.requests.get(number);
  if (!request)
    throw new Refusal("unknown-request", `There is no request #${number}. /queue shows the numbers.`);
  const { taken } = state;
  if (taken?.number === number)
    throw new Refusal("busy", `#${number} is taken already: say when it is done, with /mark ${number} done.`);
  if (taken)
    throw new Refusal(
      "busy",
      `#${taken.number} is under way: say first what became of it, with /mark ${taken.number} done, failed or stopped.`,
    );
  if (request.state !== "waiting")
    throw new Refusal(
      "not-waiting",
      `#${number} is ${request.state}, so it cannot be taken. /queue shows what waits.`,
    );
  if (holdUntil(state, nowUnixMs) !== null)
    throw new Refusal(
      "on-hold",
      `#${number} cannot be taken while the queue is on hold: ${heldClause(state)}.`,
    );
  return takenEvents(state, forecast.workAt(request, nowUnixMs));
}

function heldClause(state: State): string {
  const machines = heldBy(state);
  if (machines !== null) return `${machines.replaceAll("-", " ")}, until it is reported mended`;
  return `${state.hold?.reason ?? "staff hold it"}, until /resume`;
}
