/** What the observatory's control program is told to do next. */
import { DEGREES_PER_RADIAN, SECOND, type UtcMillis } from "../../base/units.js";
import type { Step } from "../../forecast/night-run.js";
import { heldBy } from "../../journal/held-by.js";
import type { State } from "../../journal/state.js";
import type { Observatory } from "../../observatory/observatory.js";
import type { Request } from "../../queue/request.js";
import { nightOf } from "../../sky/night.js";
import { equatorial } from "../../sky/place-at.js";
import { horizontalOf, placeAt, trackOf } from "../../sky/track.js";
import { centreOf } from "../frames/exposure.js";
import type { NextAnswer } from "./messages.js";
import { framesOf } from "./request-answer.js";

/** How long a request that was offered may be taken, whatever comes in meanwhile. */
export const OFFER_HOLDS = 30 * SECOND;
/** How long the other answers hold; a stop or a hold for people has to be heard of soon. */
const IDLE_HOLDS = 15 * SECOND;
const BUSY_HOLDS = 5 * SECOND;

/** ISO 8601, UTC. */
export function instant(unixMs: UtcMillis): string {
  return new Date(unixMs).toISOString();
}

/** #12 is to be stopped. */
export function stopAnswer(number: number, because: string | null, nowUnixMs: UtcMillis): NextAnswer {
  return { do: "stop", holdsUntil: instant(nowUnixMs + BUSY_HOLDS), number, because };
}

/**
 * A request to be observed.
 * @param exposingUnixMs when its exposures are expected to begin
 */
export function observeAnswer(
  state: State,
  request: Request,
  { untilUnixMs, exposingUnixMs }: { untilUnixMs: UtcMillis; exposingUnixMs: UtcMillis },
  observatory: Observatory,
): NextAnswer {
  const { number, target, classId, filter, exposureSeconds, frames } = request;
  const { id: designation, name, type } = target;
  return {
    do: "observe",
    holdsUntil: instant(untilUnixMs),
    underWay: request.state === "taken",
    framesDone: framesOf(state, request),
    request: {
      ...{ number, target: { designation, name, type }, classId, filter, exposureSeconds, frames },
      place: placeOf(request, exposingUnixMs, observatory),
    },
  };
}

/** The one under way, for a program that has lost its thread. */
export function underWayAnswer(
  state: State,
  request: Request,
  exposingUnixMs: UtcMillis,
  nowUnixMs: UtcMillis,
  observatory: Observatory,
): NextAnswer {
  const times = { untilUnixMs: nowUnixMs + BUSY_HOLDS, exposingUnixMs: Math.max(nowUnixMs, exposingUnixMs) };
  return observeAnswer(state, request, times, observatory);
}

/** Nothing is to be observed now: a hold, or nothing that can be. */
export function waitAnswer(
  state: State,
  { because, untilUnixMs }: Extract<Step, { do: "wait" }>,
  nowUnixMs: UtcMillis,
): NextAnswer {
  const holdsUntil = instant(Math.max(nowUnixMs, Math.min(untilUnixMs, nowUnixMs + IDLE_HOLDS)));
  if (because === "hold") {
    const people = state.hold?.people === true;
    return { do: "hold", holdsUntil, because: holdReason(state), people };
  }
  return { do: "nothing", holdsUntil, because: NOTHING[because] };
}

const NOTHING = {
  busy: "a request is under way",
  "no-requests": "nothing waits",
  "no-window": "nothing that waits can be observed now, or had better stand higher first",
} as const;

/** Why nothing may be taken, a clause. */
export function holdReason(state: State): string {
  return heldBy(state)?.replaceAll("-", " ") ?? state.hold?.reason ?? "staff hold the queue";
}

function placeOf({ target }: Request, atUnixMs: UtcMillis, observatory: Observatory) {
  const { site } = observatory;
  const { rightAscensionRadians, declinationRadians } = equatorial(target, atUnixMs, site);
  const track = trackOf(target, nightOf(atUnixMs, site.timeZone), site);
  const { altitudeDegrees, azimuthDegrees } = horizontalOf(track, atUnixMs, site);
  const { raDegrees, decDegrees } = centreOf(target, atUnixMs, observatory);
  return {
    at: instant(atUnixMs),
    raJ2000Degrees: rounded(raDegrees),
    decJ2000Degrees: rounded(decDegrees),
    raOfDateDegrees: rounded(rightAscensionRadians * DEGREES_PER_RADIAN),
    decOfDateDegrees: rounded(declinationRadians * DEGREES_PER_RADIAN),
    hourAngleDegrees: rounded(placeAt(track, atUnixMs).hourAngleRadians * DEGREES_PER_RADIAN),
    altitudeDegrees: rounded(altitudeDegrees),
    azimuthDegrees: rounded(azimuthDegrees),
  };
}

/** To 0.04 arc seconds. */
function rounded(degrees: number): number {
  return Math.round(degrees * 1e5) / 1e5;
}
