/** The run order as a class sees it, and each person's own requests in it. */

import { MINUTE, type UtcMillis } from "../../../base/units.js";
import { groupOf, nameFor } from "../../../commands/people/people.js";
import { label } from "../../../commands/read/read-request.js";
import type { Services } from "../../../commands/services.js";
import { startSentence } from "../../../commands/words/estimate-words.js";
import { waitSentence } from "../../../commands/words/wait-words.js";
import type { Estimate } from "../../../estimates/forecast-service.js";
import { wishWords } from "../../../notices/words/amounts.js";
import type { PersonId, Request } from "../../../queue/request.js";
import { apparentAltitude } from "../../../sky/airmass.js";
import type { WireFrame, WireOwn, WireRow } from "../wire.js";
import { wireFrame, wireLine } from "./to-wire.js";

/** Rows that every phone gets; the rest are counted, and /queue has them all. */
const MOST_ROWS = 40;
const MOST_FRAMES = 12;
/** Requests with frames, the newest: older frames are found with /mine. */
const MOST_LOOKED_AT = 1_000;

interface Placed {
  readonly request: Request;
  readonly estimate: Estimate;
}

export interface ClassOrder {
  readonly waiting: number;
  readonly rule: string;
  readonly rows: readonly WireRow[];
  readonly more: number;
  /** Active requests of each person of the class. */
  readonly byPerson: ReadonlyMap<PersonId, readonly WireOwn[]>;
}

/** Everything that runs or waits, in order. */
export function orderFor(services: Services, classId: string): ClassOrder {
  const { state } = services.desk;
  const placed = inOrder(services);
  const rows = rowsOf(placed, services, classId);
  return {
    waiting: state.waiting.size,
    rule: state.rule ?? services.config.queue.rule,
    rows: rows.slice(0, MOST_ROWS),
    more: Math.max(0, rows.length - MOST_ROWS),
    byPerson: ownOf(placed, services, classId),
  };
}

/** The newest frames of each person's requests, newest first. */
export function framesByPerson(
  { desk }: Services,
  classId: string,
): ReadonlyMap<PersonId, readonly WireFrame[]> {
  const { requests, frames } = desk.state;
  const own = new Map<PersonId, WireFrame[]>();
  for (const [number, list] of [...frames].slice(-MOST_LOOKED_AT).reverse()) {
    const request = requests.get(number);
    if (request?.classId !== classId) continue;
    const made = [...list].reverse().map((frame) => wireFrame(request, frame));
    for (const personId of [request.owner, ...request.sharers]) {
      const before = own.get(personId) ?? [];
      if (before.length < MOST_FRAMES) own.set(personId, [...before, ...made].slice(0, MOST_FRAMES));
    }
  }
  return own;
}

function inOrder({ desk, forecast }: Services): Placed[] {
  const { requests, taken } = desk.state;
  const current = taken ? forecast.estimate(taken.number) : null;
  return [...(current ? [current] : []), ...forecast.order()].flatMap((estimate) => {
    const request = requests.get(estimate.number);
    return request ? [{ request, estimate }] : [];
  });
}

/** Requests of other classes that follow one another become one row. */
function rowsOf(placed: readonly Placed[], services: Services, classId: string): WireRow[] {
  const rows: WireRow[] = [];
  let others = 0;
  for (const each of placed) {
    if (each.request.classId === classId) {
      others = 0;
      rows.push(rowOf(each, services));
      continue;
    }
    others += 1;
    if (others > 1) rows.pop();
    rows.push(othersRow(each, others));
  }
  return rows;
}

function rowOf({ request, estimate }: Placed, services: Services): WireRow {
  const { config, desk } = services;
  const { altitudeDegrees } = estimate;
  return {
    ...turn(estimate),
    number: request.number,
    label: label(request),
    who: nameFor(request.owner, request.classId, desk.state, config),
    ids: [request.owner, ...request.sharers],
    group: groupOf(request.owner, request.classId, desk.state, config),
    altitude: altitudeDegrees === null ? null : Math.round(apparentAltitude(altitudeDegrees)),
  };
}

function othersRow({ estimate }: Placed, others: number): WireRow {
  const label = others === 1 ? "one of another class" : `${others} of other classes`;
  return { ...turn(estimate), number: null, label, who: "", ids: [], group: null, altitude: null };
}

function turn(estimate: Estimate): Pick<WireRow, "place" | "start" | "early" | "late" | "held"> {
  return { ...times(estimate), held: estimate.noTurn?.why === "hold" };
}

function ownOf(
  placed: readonly Placed[],
  services: Services,
  classId: string,
): ReadonlyMap<PersonId, readonly WireOwn[]> {
  const now = services.clock.now();
  const own = new Map<PersonId, WireOwn[]>();
  for (const { request, estimate } of placed) {
    if (request.classId !== classId) continue;
    const mine: WireOwn = {
      number: request.number,
      label: label(request),
      wish: wishWords(request),
      ...times(estimate),
      isNext: estimate.next === true,
      orElse: second(estimate.either?.otherUnixMs ?? null),
      words: wordsOn(estimate, request, services, now),
    };
    for (const personId of [request.owner, ...request.sharers]) {
      own.set(personId, [...(own.get(personId) ?? []), mine]);
    }
  }
  return own;
}

/** Looks through the whole night, so it is worked out once for each estimate and minute. */
const written = new WeakMap<Estimate, { readonly minute: number; readonly words: WireOwn["words"] }>();

function wordsOn(estimate: Estimate, request: Request, services: Services, now: UtcMillis): WireOwn["words"] {
  const minute = Math.floor(now / MINUTE);
  const known = written.get(estimate);
  if (known?.minute === minute) return known.words;
  const present = { ...services, now };
  const phrase =
    estimate.startUnixMs === null
      ? startSentence(estimate, request, present)
      : waitSentence(estimate, request, true, present);
  const words = wireLine(phrase ?? [], String);
  written.set(estimate, { minute, words });
  return words;
}

function times({ place, startUnixMs, earliestUnixMs, latestUnixMs, either }: Estimate) {
  const start = second(either?.firstUnixMs ?? startUnixMs);
  const [early, late] = either ? [null, null] : [second(earliestUnixMs), second(latestUnixMs)];
  return { place, start, early, late };
}

/** Whole seconds: smaller shifts are nothing new. */
function second(unixMs: UtcMillis | null): UtcMillis | null {
  return unixMs === null ? null : Math.round(unixMs / 1_000) * 1_000;
}
