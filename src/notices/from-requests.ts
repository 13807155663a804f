/** Notices to the people of a request, when something happens to it. */
import type { Notice } from "../journal/notice.js";
import type { PersonId, Request } from "../queue/request.js";
import {
  announceTo,
  type Concerned,
  choiceOf,
  concernedInEachClass,
  peopleOf,
  toPeople,
} from "./audience.js";
import { darkAgain } from "./darkness.js";
import { framesOf, type Handlers, type Occasion, type Telling } from "./telling.js";
import { whoDecided } from "./who-decided.js";
import { requestName } from "./words/amounts.js";
import { completedTelling } from "./words/completed.js";
import { type MovedRequest, movedTelling } from "./words/estimates.js";
import { cancelledTelling, restoredTelling } from "./words/everyone.js";
import {
  failedTelling,
  inheritedTelling,
  nextTelling,
  noWaitTelling,
  overtakenTelling,
  returnedTelling,
  takenTelling,
  withdrawnTelling,
} from "./words/requests.js";

type ForOne = (request: Request, onlyFor: PersonId | null) => Telling;

/** What the people of a request are told. */
export const byRequest = {
  /** The telescope begins to move. */
  "request.taken": (occasion, event) =>
    toItsPeople(occasion, event.number, (request) => takenTelling(request, event)),
  /** All frames are done. */
  "request.completed": (occasion, event) => {
    const frames = framesOf(occasion, event.number);
    const { observatory } = occasion.config;
    return toItsPeople(occasion, event.number, (request, onlyFor) =>
      completedTelling(request, frames, (unixMs) => darkAgain(unixMs, request.target, observatory), onlyFor),
    );
  },
  /** Tried, without a usable frame. */
  "request.failed": (occasion, event) =>
    toItsPeople(occasion, event.number, (request, onlyFor) => failedTelling(request, event.reason, onlyFor)),
  /** Back to waiting. */
  "request.returned": (occasion, event) => {
    const stopped = occasion.before.taken?.number === event.number;
    return toItsPeople(occasion, event.number, (request, onlyFor) =>
      returnedTelling(request, event.reason, stopped, onlyFor),
    );
  },
  /** Only those who had joined need to hear of it: the owner did it. */
  "request.withdrawn": (occasion, event) => {
    const request = requestOf(occasion, event.number);
    if (!request) return [];
    return toPeople(occasion, sharedBy(request.sharers, request), () => withdrawnTelling(request));
  },
  /** The new owner hears of it, when there is one. */
  "request.left": (occasion, event) => {
    const was = occasion.before.requests.get(event.number);
    const is = occasion.after.requests.get(event.number);
    if (!was || !is || was.owner === is.owner) return [];
    return toPeople(occasion, sharedBy([is.owner], is), () => inheritedTelling(is, is.owner));
  },
  /** The first in the run order. */
  "request.next": (occasion, event) => {
    const under = occasion.after.taken?.number ?? null;
    return toItsPeople(occasion, event.number, (request, onlyFor) =>
      nextTelling(request, event, occasion.atUnixMs, under, onlyFor),
    );
  },
  /** A wait that would have cost it its turn. */
  "request.earliest": (occasion, { number, because, startUnixMs }) =>
    because !== "missed" || startUnixMs === undefined
      ? []
      : toItsPeople(occasion, number, (request, onlyFor) =>
          noWaitTelling(
            request,
            occasion.before.requests.get(number),
            startUnixMs,
            occasion.atUnixMs,
            onlyFor,
          ),
        ),
  /** Whoever had been told that it is next hears what runs before it. */
  "request.overtaken": (occasion, event) => {
    const { tiers } = occasion.config;
    const first = requestOf(occasion, event.by);
    return toItsPeople(occasion, event.number, (request, onlyFor) => {
      const other = first?.classId === request.classId ? requestName(first) : "a request of another class";
      return overtakenTelling(request, event, { other, tiers, atUnixMs: occasion.atUnixMs }, onlyFor);
    });
  },
  /** One announcement in each class channel concerned; to one person alone a direct message, if that is the choice. */
  "requests.cancelled": (occasion, event) => {
    const under = occasion.before.taken?.number ?? null;
    return aboutMany(occasion, event.numbers, (requests, classId) =>
      cancelledTelling(requests, event.reason, whoDecided(occasion, event.by, classId), under),
    );
  },
  /** The same people hear that it was undone. */
  "cancel.undone": (occasion, event) =>
    aboutMany(occasion, event.numbers, (requests, classId) =>
      restoredTelling(requests, whoDecided(occasion, event.by, classId)),
    ),
  /** All moves of one moment that concern the same readers, in one notice. */
  "estimates.moved": (occasion, event) => {
    const moves = new Map(event.moves.map((move) => [move.number, move]));
    const requests = [...moves.keys()].flatMap((number) => requestOf(occasion, number) ?? []);
    return concernedInEachClass(requests).flatMap((concerned) => {
      const mine = (readers: readonly PersonId[]): MovedRequest[] => {
        const reading = new Set(readers);
        return requestsOf(readers, concerned).flatMap((request) => {
          const move = moves.get(request.number);
          const people = peopleOf(request).filter((id) => reading.has(id));
          return move ? [{ request, move, people }] : [];
        });
      };
      return toPeople(occasion, concerned, (readers) =>
        movedTelling(mine(readers), occasion.atUnixMs, readers),
      );
    });
  },
} satisfies Handlers;

function toItsPeople(occasion: Occasion, number: number, telling: ForOne): Notice[] {
  const request = requestOf(occasion, number);
  if (!request) return [];
  return toPeople(occasion, sharedBy(peopleOf(request), request), (people) =>
    telling(request, people.length === 1 ? (people[0] as PersonId) : null),
  );
}

function aboutMany(
  occasion: Occasion,
  numbers: readonly number[],
  telling: (requests: readonly Request[], classId: string) => Telling,
): Notice[] {
  const requests = numbers.flatMap((number) => requestOf(occasion, number) ?? []);
  const classes = concernedInEachClass(requests);
  const [only, ...others] = new Set(requests.flatMap(peopleOf));
  const alone = only !== undefined && others.length === 0 && choiceOf(occasion, only).how === "direct";
  return classes.flatMap((concerned) =>
    (alone ? toPeople : announceTo)(occasion, concerned, (people, classId) =>
      telling(inOrder(requestsOf(people, concerned)), classId),
    ),
  );
}

/** The same request for each of these people. */
function sharedBy(people: readonly PersonId[], request: Request): Concerned {
  return new Map(people.map((personId) => [personId, [request]]));
}

/** The requests of some people, each once. */
function requestsOf(people: readonly PersonId[], concerned: Concerned): Request[] {
  return [...new Set(people.flatMap((personId) => concerned.get(personId) ?? []))];
}

function inOrder(requests: readonly Request[]): Request[] {
  return [...requests].sort((a, b) => a.number - b.number);
}

/** As it is after the event, or as it was when the event took it away. */
function requestOf({ before, after }: Occasion, number: number): Request | undefined {
  return after.requests.get(number) ?? before.requests.get(number);
}
