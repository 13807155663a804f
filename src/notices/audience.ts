/** Who hears of it, where and how loudly: people by their own choice, classes in each of their channels. */
import type { AlertChoice, PersonRecord } from "../journal/events.js";
import { memberOf, membersIn } from "../journal/membership.js";
import type { Notice } from "../journal/notice.js";
import type { State } from "../journal/state.js";
import type { Address, PersonId, Request } from "../queue/request.js";
import { isQuiet, quietHoursOf, usualChoice, usualQuietHours } from "./quiet-hours.js";
import type { Occasion, Telling } from "./telling.js";

/** A person as a member of one class, with the place where its notices reach them. */
interface Listener {
  readonly personId: PersonId;
  readonly classId: string;
  readonly home: Address;
}

/** Listeners who can be served by one post. */
interface Circle {
  readonly to: Address;
  readonly classId: string;
  readonly audience: Notice["audience"];
  readonly quiet: boolean;
  readonly people: PersonId[];
}

/** Requests of one class, by the people they are for. */
export type Concerned = ReadonlyMap<PersonId, readonly Request[]>;
/** What some of the people concerned are told, in their class. */
type Words = (people: readonly PersonId[], classId: string) => Telling;

/** The owner of a request and those who joined it, each once. */
export function peopleOf(request: Request): readonly PersonId[] {
  return [...new Set([request.owner, ...request.sharers])];
}

/** Requests by the people they are for, apart for each class: what one class hears stays in it. */
export function concernedInEachClass(requests: Iterable<Request>): Concerned[] {
  const classes = new Map<string, Map<PersonId, Request[]>>();
  for (const request of requests) {
    const concerned = classes.get(request.classId) ?? new Map<PersonId, Request[]>();
    classes.set(request.classId, concerned);
    for (const personId of peopleOf(request))
      concerned.set(personId, [...(concerned.get(personId) ?? []), request]);
  }
  return [...classes.values()];
}

/** What a person chose, or what is usual. */
export function choiceOf(occasion: Occasion, personId: PersonId): AlertChoice {
  return occasion.after.alerts.get(personId) ?? usualChoice(occasion.config);
}

/**
 * For certain people, as members of the class whose requests it is about: in its channel (one post for those
 * who share it and a loudness), by direct message, or not now for those who wait for the morning summary.
 * @param morning it is the morning summary itself, which those who wait for it get too
 */
export function toPeople(occasion: Occasion, concerned: Concerned, words: Words, morning = false): Notice[] {
  const circles = new Map<string, Circle>();
  for (const listener of listenersOf(occasion, concerned)) {
    const choice = choiceOf(occasion, listener.personId);
    if (choice.how === "morning" && !morning) continue;
    const audience = choice.how === "direct" ? "person" : "class";
    add(circles, listener, audience, choice.how === "silent" || sleeps(occasion, choice));
  }
  return posts(occasion, circles, words);
}

/**
 * One announcement for each class channel, however many it concerns: at once even for those who wait for
 * the morning, without sound when nobody concerned wants one. Where some sleep and others want to hear, the
 * sleepers, who would be rung with them, get a second one without sound.
 */
export function announceTo(occasion: Occasion, concerned: Concerned, words: Words): Notice[] {
  const circles = new Map<string, Circle>();
  const listeners = listenersOf(occasion, concerned);
  const awake = new Set(listeners.filter((each) => wantsSound(occasion, each.personId)));
  const loudPlaces = new Set([...awake].map(({ home }) => placeName(home)));
  for (const listener of listeners) {
    const { how } = choiceOf(occasion, listener.personId);
    const named = how === "silent" || how === "morning";
    const loud = loudPlaces.has(placeName(listener.home)) && (named || awake.has(listener));
    add(circles, listener, "class", !loud);
  }
  return posts(occasion, circles, words);
}

/** For everyone in the given classes: one post in each channel that the configuration gives them or a member calls home. */
export function toClasses(
  occasion: Occasion,
  classIds: Iterable<string>,
  telling: (classId: string) => Telling,
): Notice[] {
  const { atUnixMs, config } = occasion;
  const quiet = isQuiet(atUnixMs, config.observatory.site.timeZone, usualQuietHours(config));
  return [...new Set(classIds)].flatMap((classId) =>
    channelsOf(occasion, classId).map((to) =>
      noticeFrom(occasion, telling(classId), {
        to,
        classId,
        audience: "class",
        quiet,
        people: [],
      }),
    ),
  );
}

/**
 * For everyone who has come in as an operator, or as an instructor where there is no operator: each once, and
 * with sound, since somebody is to do something at the telescope.
 */
export function toOperators(occasion: Occasion, telling: Telling): Notice[] {
  const staff = staffOf(occasion.after, "operator");
  const listeners = staff.length > 0 ? staff : staffOf(occasion.after, "instructor");
  const circles = new Map<string, Circle>();
  for (const { id, classId, home } of listeners) {
    const audience = choiceOf(occasion, id).how === "direct" ? "person" : "class";
    add(circles, { personId: id, classId, home: occasion.venues.present(classId, home) }, audience, false);
  }
  return posts(occasion, circles, () => telling);
}

/** Each in the class that they were in last with that role. */
function staffOf({ people }: State, role: PersonRecord["role"]): PersonRecord[] {
  return [...people.values()].flatMap(
    (person) => [person, ...(person.elsewhere ?? [])].find((each) => each.role === role) ?? [],
  );
}

/** Sleeping people hear nothing: their quiet hours. */
export function sleeps(occasion: Occasion, choice: AlertChoice, unixMs = occasion.atUnixMs): boolean {
  return isQuiet(unixMs, occasion.config.observatory.site.timeZone, quietHoursOf(choice));
}

function wantsSound(occasion: Occasion, personId: PersonId): boolean {
  const choice = choiceOf(occasion, personId);
  return choice.how !== "silent" && choice.how !== "morning" && !sleeps(occasion, choice);
}

/** Distinct homes of a class's people, in order of joining; then where it meets though nobody has spoken yet. */
function channelsOf({ after, venues }: Occasion, classId: string): Address[] {
  const homes = membersIn(after, classId).map(({ home }) => venues.present(classId, home));
  const places = [...homes, ...venues.meetingPlaces(classId)];
  return [...new Map(places.map((each) => [placeName(each), each])).values()];
}

/** Each where the class of their requests reaches them; someone who is not known there, where the request was made. */
function listenersOf({ after, venues }: Occasion, concerned: Concerned): Listener[] {
  return [...concerned].flatMap(([personId, [about]]) => {
    if (!about) return [];
    const { classId, via } = about;
    const home = memberOf(after, personId, classId)?.home ?? via;
    return [{ personId, classId, home: venues.present(classId, home) }];
  });
}

function add(
  circles: Map<string, Circle>,
  listener: Listener,
  audience: Notice["audience"],
  quiet: boolean,
): void {
  const { personId, classId, home } = listener;
  const key = [placeName(home), classId, audience, quiet, audience === "person" ? personId : ""].join("\n");
  const circle = circles.get(key) ?? { to: home, classId, audience, quiet, people: [] };
  circle.people.push(personId);
  circles.set(key, circle);
}

function posts(occasion: Occasion, circles: ReadonlyMap<string, Circle>, words: Words): Notice[] {
  return [...circles.values()].map((circle) =>
    noticeFrom(occasion, words(circle.people, circle.classId), circle),
  );
}

function noticeFrom(occasion: Occasion, telling: Telling, circle: Circle): Notice {
  const { entry, atUnixMs } = occasion;
  const { to, classId, audience, quiet, people } = circle;
  return {
    key: `${entry.id}:${telling.kind}:${audienceName(circle)}`,
    kind: telling.kind,
    atUnixMs,
    to,
    classId,
    people,
    audience,
    title: telling.title,
    lines: telling.lines,
    attachment: telling.attachment ?? null,
    quiet,
    actions: telling.actions ?? [],
  };
}

/** One person by id; several by their class, channel and loudness. */
function audienceName({ people, classId, to, quiet }: Circle): string {
  const [only, ...others] = people;
  if (only !== undefined && others.length === 0) return only;
  const name = `${classId}@${placeName(to)}`;
  return people.length > 0 && quiet ? `${name}:quiet` : name;
}

function placeName(address: Address): string {
  return `${address.surface}/${address.channel}`;
}
