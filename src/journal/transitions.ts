/** Which events may follow which: what a request's life (src/queue/request.ts) allows, as sentences about what it does not. */
import type { RequestState } from "../queue/request.js";
import type { EventType, Happened, NightslateEvent } from "./events.js";
import type { State } from "./state.js";

type Objections = {
  readonly [Type in EventType]?: (state: State, event: Happened<Type>) => string | null;
};

/** The states that each event about one request may find it in. */
const MAY_FIND = {
  "request.joined": ["waiting", "taken"],
  "request.left": ["waiting", "taken"],
  "request.withdrawn": ["waiting", "taken"],
  "requests.cancelled": ["waiting", "taken"],
  "cancel.undone": ["cancelled"],
  "request.taken": ["waiting"],
  "action.revised": ["taken"],
  "action.overdue": ["taken"],
  "frame.done": ["taken"],
  "request.completed": ["taken"],
  "request.failed": ["taken"],
  "request.returned": ["taken", "failed", "completed"],
} as const satisfies Partial<Record<EventType, readonly RequestState[]>>;

/** Beyond that. */
const OBJECTIONS: Objections = {
  "request.made": (state, { number }) =>
    number < state.nextNumber ? `Request #${number} cannot be made: that number was given already.` : null,
  "request.joined": (state, { type, number, personId }) => {
    const request = state.requests.get(number);
    return request?.owner === personId || request?.sharers.includes(personId)
      ? `Request #${number} is theirs already.`
      : wrongState(state, type, number);
  },
  "request.left": (state, { type, number, personId }) => {
    const wrong = wrongState(state, type, number);
    const request = state.requests.get(number);
    if (wrong || !request) return wrong;
    if (request.sharers.includes(personId)) return null;
    if (request.owner !== personId) return `Request #${number} is not theirs to leave.`;
    return request.sharers.length > 0 ? null : `Nobody shares request #${number}: withdraw it instead.`;
  },
  "requests.cancelled": (state, { type, numbers, cancelId }) => {
    if (state.cancels.has(cancelId)) return `Cancellation ${cancelId} has been made already.`;
    return repeatedNumber(numbers) ?? firstOf(numbers, (number) => wrongState(state, type, number));
  },
  "cancel.undone": (state, { type, cancelId, numbers }) => {
    const cancel = state.cancels.get(cancelId);
    if (!cancel) return "There is no such cancellation left to undo.";
    const foreign = numbers.find((number) => !cancel.numbers.includes(number));
    if (foreign !== undefined) return `Request #${foreign} was not part of that cancellation.`;
    return repeatedNumber(numbers) ?? firstOf(numbers, (number) => wrongState(state, type, number));
  },
  "request.taken": (state, { type, number }) =>
    state.taken === null
      ? wrongState(state, type, number)
      : `Request #${number} cannot be taken: the telescope is busy with #${state.taken.number}.`,
};

/** One sentence that says why `event` cannot follow in this state; null when it can. */
export function objectionTo(state: State, event: NightslateEvent): string | null {
  const objection = OBJECTIONS[event.type] as
    | ((state: State, event: NightslateEvent) => string | null)
    | undefined;
  if (objection) return objection(state, event);
  return isAboutOne(event) ? wrongState(state, event.type, event.number) : null;
}

/**
 * One sentence about a new request that skips numbers: refused when decided, but not when read back, where the
 * request before it may have been lost with a damaged entry.
 */
export function numberSkipped(state: State, event: NightslateEvent): string | null {
  return event.type === "request.made" && event.number > state.nextNumber
    ? `Request #${event.number} cannot be made: the next number is #${state.nextNumber}.`
    : null;
}

function isAboutOne(
  event: NightslateEvent,
): event is NightslateEvent & { number: number; type: keyof typeof MAY_FIND } {
  return "number" in event && event.type in MAY_FIND;
}

function wrongState(state: State, type: keyof typeof MAY_FIND, number: number): string | null {
  const request = state.requests.get(number);
  if (!request) return `There is no request #${number}.`;
  const possible: readonly RequestState[] = MAY_FIND[type];
  return possible.includes(request.state)
    ? null
    : `Request #${number} is ${request.state}; for this it has to be ${possible.join(" or ")}.`;
}

function repeatedNumber(numbers: readonly number[]): string | null {
  const repeated = numbers.find((number, index) => numbers.indexOf(number) !== index);
  return repeated === undefined ? null : `Request #${repeated} is named twice.`;
}

function firstOf(numbers: readonly number[], objection: (number: number) => string | null): string | null {
  for (const number of numbers) {
    const sentence = objection(number);
    if (sentence) return sentence;
  }
  return null;
}
