/** The board of a class: what is observed now, what comes next, conditions; kept in view by every surface. */
import type { Clock } from "../base/clock.js";
import { count } from "../base/english.js";
import { clockTime, type Phrase, person, say, strong } from "../base/phrase.js";
import { MINUTE, type UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import type { Estimate, ForecastService } from "../estimates/forecast-service.js";
import type { Desk } from "../journal/desk.js";
import { heldBy } from "../journal/held-by.js";
import type { State } from "../journal/state.js";
import type { TelescopeStatus } from "../journal/telescope-status.js";
import { nightSkyOf } from "../observatory/night-sky.js";
import type { Request } from "../queue/request.js";
import { nightOf } from "../sky/night.js";
import { requestName } from "./words/amounts.js";
import { NO_INTERLOCK } from "./words/everyone.js";
import { reasonLine } from "./words/requests.js";
import { phraseAtSite } from "./words/roof.js";
import { startWithin } from "./words/times.js";

/** One message a class keeps in view: now, next, conditions. */
export interface Board {
  readonly classId: string;
  readonly title: string;
  readonly lines: readonly Phrase[];
}

/** What a board is made from; a command's services will do. */
export interface BoardView {
  readonly desk: Pick<Desk, "state">;
  readonly clock: Pick<Clock, "now">;
  readonly config: Config;
  readonly forecast: Pick<ForecastService, "order">;
  readonly telescope: () => TelescopeStatus;
}

const SHOWN_NEXT = 3;

/**
 * The present board of a class. Its own people by name, other classes only as counts; times to the minute,
 * so that it changes only when there is something new to see.
 */
export function boardFor(view: BoardView, classId: string): Board {
  const { config, desk } = view;
  const status = view.telescope();
  const name = config.classes.find((each) => each.id === classId)?.name ?? classId;
  const lines: Phrase[] = [
    ...holdLines(desk.state),
    nowLine(desk.state, status, classId),
    ...nextLines(desk.state, view.forecast.order(), classId, view.clock.now()),
    conditionsLine(view, status),
  ];
  if (status.traits.notice !== null) lines.push([status.traits.notice]);
  const said = lines.map((line) => phraseAtSite(line, config));
  return { classId, title: `${config.observatory.site.name}: ${name}`, lines: said };
}

function holdLines({ hold }: State): Phrase[] {
  if (!hold) return [];
  const until =
    hold.untilUnixMs === null ? say`until staff resume` : say`until ${clockTime(minute(hold.untilUnixMs))}`;
  return [
    say`${strong("On hold")} since ${clockTime(minute(hold.sinceUnixMs))}, ${until}. ${reasonLine(hold.reason)}`,
    [NO_INTERLOCK],
  ];
}

function nowLine(state: State, status: TelescopeStatus, classId: string): Phrase {
  const request = state.taken ? state.requests.get(state.taken.number) : undefined;
  if (!state.taken || !request) return say`${strong("Now:")} ${idleWords(status)}.`;
  const done = say`done about ${clockTime(minute(state.taken.freeUnixMs))}`;
  if (request.classId !== classId) return say`${strong("Now:")} a request of another class, ${done}.`;
  return say`${strong("Now:")} ${requestName(request)}, ${person(request.owner)}: ${activityWords(status)}, ${done}.`;
}

function idleWords(status: TelescopeStatus): string {
  if (status.activity === "fault") return "the telescope reports a fault";
  if (status.activity === "stopping") return "the telescope is being stopped";
  return "nothing is being observed";
}

function activityWords(status: TelescopeStatus): string {
  const frame =
    status.frame !== null && status.frames !== null ? `frame ${status.frame} of ${status.frames}` : null;
  switch (status.activity) {
    case "observing":
      return "being observed";
    case "exposing":
    case "reading-out":
      return frame ?? "exposing";
    case "handing-over":
      return "frames are being handed over";
    case "fault":
      return "the telescope reports a fault";
    default:
      return "the telescope is moving";
  }
}

function nextLines(state: State, order: readonly Estimate[], classId: string, now: UtcMillis): Phrase[] {
  const own: { request: Request; estimate: Estimate }[] = [];
  for (const estimate of order) {
    const request = state.requests.get(estimate.number);
    if (request?.classId === classId) own.push({ request, estimate });
  }
  const others = order.length - own.length;
  const waiting = say`${count(order.length, "request")} waiting${others > 0 ? `, ${others} of other classes` : ""}.`;
  const next = own
    .slice(0, SHOWN_NEXT)
    .map(
      ({ request, estimate }) =>
        say`${placeWords(estimate)} ${requestName(request)}, ${person(request.owner)}${startWords(estimate, now)}`,
    );
  const held = state.hold !== null || heldBy(state) !== null;
  return [say`${strong(held ? "Waiting:" : "Next:")} ${waiting}`, ...next];
}

function placeWords({ place }: Estimate): string {
  return place === null ? "–" : `${place}.`;
}

function startWords(
  { startUnixMs, earliestUnixMs, latestUnixMs, either, noTurn }: Estimate,
  now: UtcMillis,
): Phrase {
  if (startUnixMs !== null) {
    const [early, late] = [earliestUnixMs, latestUnixMs].map((end) => minute(end ?? startUnixMs));
    const start = { startUnixMs: minute(startUnixMs), earliestUnixMs: early, latestUnixMs: late, either };
    return say`: about ${startWithin(start, now)}`;
  }
  return noTurn?.why === "hold" ? say`: waits` : say`: no turn tonight`;
}

function conditionsLine({ clock, config }: BoardView, status: TelescopeStatus): Phrase {
  const { telescope, dome, camera, sky } = status.equipment;
  const machines = say`telescope ${telescope}, dome ${dome}, camera ${camera}, sky ${sky}`;
  return say`${strong("Conditions:")} ${darkWords(clock.now(), config)}; ${machines}.`;
}

/** "dark from 18:12", "dark until 05:40", to the minute. */
export function darkWords(nowUnixMs: UtcMillis, { observatory }: Config): Phrase {
  const night = nightOf(nowUnixMs, observatory.site.timeZone);
  for (const { openUnixMs, closeUnixMs } of nightSkyOf(night, observatory).dark) {
    if (nowUnixMs < openUnixMs) return say`dark from ${clockTime(minute(openUnixMs))}`;
    if (nowUnixMs <= closeUnixMs) return say`dark until ${clockTime(minute(closeUnixMs))}`;
  }
  return say`not dark any more tonight`;
}

function minute(unixMs: UtcMillis): UtcMillis {
  return Math.floor(unixMs / MINUTE) * MINUTE;
}
