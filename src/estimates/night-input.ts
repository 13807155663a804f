/** The night as the journal tells it: what the engine needs, taken from the state. */
import type { UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import type { NightInput } from "../forecast/night-run.js";
import { heldBy } from "../journal/held-by.js";
import type { State } from "../journal/state.js";
import { CONFIGURED_OVERHEADS, type OverheadFactors } from "../observatory/observatory.js";
import { parkedPointing } from "../observatory/pointing.js";
import { NO_PLAN } from "../queue/planner/plan.js";
import type { PersonId, Request } from "../queue/request.js";
import { nightOf } from "../sky/night.js";

const NOBODY: ReadonlyMap<PersonId, number> = new Map();

/**
 * Everything that decides the night from `nowUnixMs` to the next local noon.
 * @param overheads learned multiples of the configured times
 */
export function nightInput(
  state: State,
  config: Config,
  nowUnixMs: UtcMillis,
  overheads: OverheadFactors = CONFIGURED_OVERHEADS,
): NightInput {
  const { observatory } = config;
  const night = nightOf(nowUnixMs, observatory.site.timeZone);
  return {
    nowUnixMs,
    untilUnixMs: night.endUnixMs,
    observatory,
    overheads,
    rule: state.rule ?? config.queue.rule,
    worthwhileAltitudeDegrees: config.queue.worthwhileAltitudeDegrees,
    plan: state.plan?.plan ?? NO_PLAN,
    waiting: [...state.waiting].map((number) => state.requests.get(number) as Request),
    current: currentOf(state),
    pointing: state.pointing ?? parkedPointing(observatory),
    holdUntilUnixMs: holdUntil(state, nowUnixMs),
    // Until the night is rolled, the counts are still those of the night before.
    takenTonight: state.night === null || state.night === night.date ? state.takenTonight : NOBODY,
  };
}

function currentOf({ taken, requests }: State): NightInput["current"] {
  if (taken === null) return null;
  return { request: requests.get(taken.number) as Request, freeUnixMs: taken.freeUnixMs };
}

/**
 * Until when nothing may be taken, Infinity without an end; null when it may. Machines that cannot observe take
 * nothing either, until they are reported mended.
 */
export function holdUntil(state: State, nowUnixMs: UtcMillis): UtcMillis | null {
  const { hold } = state;
  if (heldBy(state) !== null) return Number.POSITIVE_INFINITY;
  if (hold === null) return null;
  const untilUnixMs = hold.untilUnixMs ?? Number.POSITIVE_INFINITY;
  return untilUnixMs > nowUnixMs ? untilUnixMs : null;
}
