/** What the queue itself says to a new request: limits, repetitions, a classmate who asked for the same. */

import { count, listed } from "../../base/english.js";
import { person, say, strong, typed } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import type { Config } from "../../config/config.js";
import type { State } from "../../journal/state.js";
import { duration, wishWords } from "../../notices/words/amounts.js";
import { leastTime } from "../../queue/least-time.js";
import { type Request, sameFrame, type Wish } from "../../queue/request.js";
import type { Asker } from "../command.js";
import { Offer } from "../offer.js";
import { isMine } from "../people/people.js";
import { isActive, label } from "../read/read-request.js";
import { example } from "../words/example.js";

/**
 * @throws {Refusal} codes "asked-already", "too-many-waiting", "same-as-classmate" (with a way to join or to insist)
 */
export function checkQueue(wish: Wish, asker: Asker, state: State, config: Config, insists: boolean): void {
  const active = activeRequests(state);
  const same = active.filter((each) => sameFrame(each, wish) && isForThen(each, wish));
  const own = same.find((each) => isMine(each, asker.id));
  if (own) throw askedAlready(own, asker);
  const theirs = same.find((each) => each.classId === asker.classId);
  if (theirs && !insists) throw sameAsClassmate(theirs, wish, asker, config);
  const waiting = active.filter((each) => each.owner === asker.id && each.state === "waiting");
  const most = config.queue.waitingPerPerson;
  if (asker.role === "student" && waiting.length >= most) throw tooMany(waiting, most);
}

/** Whether it was asked for the same time; one under way is there for whoever does not want it later. */
function isForThen({ state, notBeforeUnixMs }: Request, wish: Wish): boolean {
  return notBeforeUnixMs === wish.notBeforeUnixMs || (state === "taken" && wish.notBeforeUnixMs === null);
}

function activeRequests(state: State): Request[] {
  const numbers = [...state.waiting, ...(state.taken ? [state.taken.number] : [])];
  return numbers.flatMap((number) => state.requests.get(number) ?? []).filter(isActive);
}

function askedAlready(own: Request, asker: Asker): Refusal {
  const how = own.owner === asker.id ? "asked for exactly this" : "share exactly this";
  const state = own.state === "taken" ? "it is being observed now" : "it is waiting";
  return new Offer(
    "asked-already",
    [
      say`${strong(`You already ${how}`)} as ${label(own)}, and ${state}. Change the filter, exposure or frames to ask for another.`,
    ],
    [{ command: "when", options: { request: own.number }, label: `When #${own.number}?`, onlyFor: asker.id }],
  );
}

function sameAsClassmate(theirs: Request, wish: Wish, asker: Asker, config: Config): Refusal {
  const saved = duration(leastTime(wish, config.observatory));
  const same =
    theirs.state === "taken"
      ? "The telescope is taking the same for a classmate now"
      : "A classmate has asked for the same";
  const again = {
    target: wish.target.id,
    filter: wish.filter,
    exposure: wish.exposureSeconds,
    frames: wish.frames,
    ...(wish.notBeforeUnixMs === null ? {} : { notbefore: new Date(wish.notBeforeUnixMs).toISOString() }),
    ...(wish.note === null ? {} : { note: wish.note }),
    anyway: "yes",
  };
  return new Offer(
    "same-as-classmate",
    [
      say`${strong(same)}: ${label(theirs)}, ${wishWords(theirs)}, by ${person(theirs.owner)}. Type ${example(`/join ${theirs.number}`, { request: theirs.number })} to get the same frames; that leaves at least ${saved} of telescope time for others.`,
      say`Add ${typed("anyway=yes", "anyway:yes")} to ask for your own all the same.`,
    ],
    [
      {
        command: "join",
        options: { request: theirs.number },
        label: `Join #${theirs.number}`,
        onlyFor: asker.id,
      },
      { command: "request", options: again, label: "Ask anyway", onlyFor: asker.id },
    ],
  );
}

function tooMany(waiting: readonly Request[], most: number): Refusal {
  const shown = waiting.slice(0, 6).map(label);
  const first = waiting[0] as Request;
  return new Refusal(
    "too-many-waiting",
    `You have ${count(waiting.length, "request")} waiting, and ${most} at a time is the limit: ${listed(shown)}. Wait for one to run, or type /withdraw ${first.number}.`,
  );
}
