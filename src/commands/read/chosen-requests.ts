/** Which requests of a class staff mean: one, a person's, a target's, a group's, or all. */

import { listed } from "../../base/english.js";
import { say, typed } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import type { State } from "../../journal/state.js";
import type { PersonId, Request } from "../../queue/request.js";
import type { Catalogue } from "../../sky/names/catalogue.js";
import type { Target } from "../../sky/target.js";
import type { Asker, RawOptions } from "../command.js";
import { Offer } from "../offer.js";
import { groupOf, groupsOf, nameFor } from "../people/people.js";
import type { Services } from "../services.js";
import { example } from "../words/example.js";
import { shortName } from "../words/target-words.js";
import { label, requestOf } from "./read-request.js";
import { nearest } from "./spelling.js";
import { splitTarget, splittable } from "./split-wish.js";

/** One way of choosing; exactly one is given. */
export interface Choice {
  readonly request: number | undefined;
  readonly person: PersonId | undefined;
  readonly target: Target | undefined;
  readonly group: string | undefined;
  readonly all: "yes" | undefined;
}

/** The chosen requests and what they are called together: "what Mira has waiting". */
export interface Chosen {
  readonly requests: readonly Request[];
  /** One that is meant too and is being observed. */
  readonly underWay?: Request | undefined;
  readonly what: string;
}

/**
 * The waiting requests of the asker's class that are meant; with several, the one that is being observed too.
 * @throws {Refusal} codes "choose-one", "other-class", "not-waiting", "unknown-group", "nothing-chosen"
 */
export function chooseRequests(choice: Choice, asker: Asker, state: State, services: Services): Chosen {
  const given = Object.values(choice).filter((value) => value !== undefined);
  if (given.length !== 1) {
    const one = example("/cancel 12 reason=cloud", { request: 12, reason: "cloud" });
    const all = example("/cancel all cloud", { all: "yes", reason: "cloud" });
    throw new Offer("choose-one", [
      say`Say which: one of a number, ${typed("person=, target=, group=", "person: target: group:")} or all, as in ${one} or ${all}.`,
    ]);
  }
  if (choice.request !== undefined) return oneRequest(choice.request, asker, state);
  const chosen = severalRequests(choice, asker, state, services);
  if (chosen.requests.length > 0 || chosen.underWay) return chosen;
  throw new Refusal(
    "nothing-chosen",
    `Nothing is waiting: ${chosen.what} has no request in the queue. Type /queue to see what has.`,
  );
}

/** "M13 cloud is coming" typed after target= is a target and a reason. */
export function splitReason(raw: RawOptions, catalogue: Catalogue): RawOptions {
  const text = splittable(raw.target);
  if (text === null || raw.reason !== undefined) return raw;
  const { target, rest } = splitTarget(text, catalogue);
  return rest.length === 0 ? raw : { ...raw, target, reason: rest.join(" ") };
}

function oneRequest(number: number, asker: Asker, state: State): Chosen {
  const request = requestOf(state, number);
  if (request.classId !== asker.classId) {
    throw new Refusal(
      "other-class",
      `#${number} belongs to another class; only its own staff can cancel it. Type /queue to see yours.`,
    );
  }
  if (request.state !== "waiting") {
    throw new Refusal(
      "not-waiting",
      `${label(request)} is ${request.state} already. Type /queue to see what is waiting.`,
    );
  }
  return { requests: [request], what: label(request) };
}

function severalRequests(choice: Choice, asker: Asker, state: State, services: Services): Chosen {
  const { config } = services;
  const meant = (what: string, isMeant: (request: Request) => boolean): Chosen => {
    const ours = (number: number): Request[] => {
      const request = state.requests.get(number);
      return request?.classId === asker.classId && isMeant(request) ? [request] : [];
    };
    const [underWay] = state.taken ? ours(state.taken.number) : [];
    return { requests: [...state.waiting].flatMap(ours), underWay, what };
  };
  const { person, target } = choice;
  if (person !== undefined)
    return meant(nameFor(person, asker.classId, state, config), (each) => each.owner === person);
  if (target !== undefined) return meant(shortName(target), (each) => each.target.id === target.id);
  if (choice.group === undefined) return meant("your class", () => true);
  const group = groupNamed(choice.group, asker.classId, state, services);
  return meant(`group ${group}`, (each) => groupOf(each.owner, asker.classId, state, config) === group);
}

/**
 * A group of the class, in any case.
 * @throws {Refusal} code "unknown-group"
 */
function groupNamed(typed: string, classId: string, state: State, { config }: Services): string {
  const groups = groupsOf(classId, state, config);
  const found = groups.find((each) => each.toLowerCase() === typed.toLowerCase());
  if (found) return found;
  const near = nearest(typed, groups);
  const help = near
    ? `did you mean ${near}?`
    : groups.length === 0
      ? "your class has none."
      : `your class has ${listed(groups)}.`;
  throw new Refusal("unknown-group", `There is no group "${typed}"; ${help}`);
}
