/** Who hears of it, where and how loudly: people by their own choice, classes in each of their channels. */
import type { AlertChoice } from "../journal/events.js";
import type { Notice } from "../journal/notice.js";
import type { State } from "../journal/state.js";
import type { Address, PersonId, Request } from "../queue/request.js";
import { isQuiet, quietHoursOf, usualChoice, usualQuietHours } from "./quiet-hours.js";
import type { Occasion, Telling } from "./telling.js";

/** A person with the place their notices go to, as one class. */
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
  quiet: boolean;
  readonly people: PersonId[];
}

/** The owner of a request and those who joined it, each once. */
export function peopleOf(request: Request): readonly PersonId[] {
  return [...new Set([request.owner, ...request.sharers])];
}

/** What a person chose, or what is usual. */
export function choiceOf(occasion: Occasion, personId: PersonId): AlertChoice {
  return occasion.after.alerts.get(personId) ?? usualChoice(occasion.config);
}

export interface ToPeopleOptions {
  /** The request it is about, for people whose home is not known. */
  readonly about?: Request;
  /** It is the morning summary itself, which those who wait for it get too. */
  readonly morning?: boolean;
}

/**
 * For certain people: in their class channel (one post for those who share it and a loudness), by direct
 * message, or not now for those who wait for the morning summary.
 */
export function toPeople(
  occasion: Occasion,
  people: Iterable<PersonId>,
  telling: (people: readonly PersonId[], classId: string) => Telling,
  { about, morning = false }: ToPeopleOptions = {},
): Notice[] {
  const circles = new Map<string, Circle>();
  for (const personId of new Set(people)) {
    const listener = listenerFor(occasion, personId, about ?? null);
    const choice = choiceOf(occasion, personId);
    if (!listener || (choice.how === "morning" && !morning)) continue;
    const audience = choice.how === "direct" ? "person" : "class";
    add(circles, listener, audience, choice.how === "silent" || sleeps(occasion, choice));
  }
  return posts(occasion, circles, telling);
}

/**
 * One announcement for each class channel, however many it concerns: at once even for those who wait for
 * the morning, without sound when nobody concerned wants one.
 * @param about the request through which a person is known, for people whose home is not known
 */
export function announceTo(
  occasion: Occasion,
  people: Iterable<PersonId>,
  telling: (people: readonly PersonId[], classId: string) => Telling,
  about: (personId: PersonId) => Request | null = () => null,
): Notice[] {
  const circles = new Map<string, Circle>();
  for (const personId of new Set(people)) {
    const listener = listenerFor(occasion, personId, about(personId));
    if (!listener) continue;
    const choice = choiceOf(occasion, personId);
    const quiet = choice.how === "silent" || choice.how === "morning" || sleeps(occasion, choice);
    const key = circleKey(listener, "class", false);
    const circle = circles.get(key) ?? circleOf(listener, "class", true);
    circle.people.push(personId);
    circle.quiet &&= quiet;
    circles.set(key, circle);
  }
  return posts(occasion, circles, telling);
}

/** For everyone in the given classes: one post in each channel that a member calls home. */
export function toClasses(
  occasion: Occasion,
  classIds: Iterable<string>,
  telling: (classId: string) => Telling,
): Notice[] {
  const { after, atUnixMs, config } = occasion;
  const quiet = isQuiet(atUnixMs, config.observatory.site.timeZone, usualQuietHours(config));
  return [...new Set(classIds)].flatMap((classId) =>
    channelsOf(after, classId).map((to) =>
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

/** Sleeping people hear nothing: their quiet hours. */
export function sleeps(occasion: Occasion, choice: AlertChoice, unixMs = occasion.atUnixMs): boolean {
  return isQuiet(unixMs, occasion.config.observatory.site.timeZone, quietHoursOf(choice));
}

/** Distinct homes of a class's people, in order of joining. */
function channelsOf(state: State, classId: string): Address[] {
  const channels = new Map<string, Address>();
  for (const person of state.people.values()) {
    if (person.classId === classId) channels.set(placeName(person.home), person.home);
  }
  return [...channels.values()];
}

function listenerFor(occasion: Occasion, personId: PersonId, about: Request | null): Listener | null {
  const record = occasion.after.people.get(personId);
  if (record) return { personId, classId: record.classId, home: record.home };
  return about && { personId, classId: about.classId, home: about.via };
}

function add(
  circles: Map<string, Circle>,
  listener: Listener,
  audience: Notice["audience"],
  quiet: boolean,
): void {
  const key = circleKey(listener, audience, quiet);
  const circle = circles.get(key) ?? circleOf(listener, audience, quiet);
  circle.people.push(listener.personId);
  circles.set(key, circle);
}

function circleOf(listener: Listener, audience: Notice["audience"], quiet: boolean): Circle {
  return { to: listener.home, classId: listener.classId, audience, quiet, people: [] };
}

function circleKey(listener: Listener, audience: Notice["audience"], quiet: boolean): string {
  const alone = audience === "person" ? listener.personId : "";
  return [placeName(listener.home), listener.classId, audience, quiet, alone].join("\n");
}

function posts(
  occasion: Occasion,
  circles: ReadonlyMap<string, Circle>,
  telling: (people: readonly PersonId[], classId: string) => Telling,
): Notice[] {
  return [...circles.values()].map((circle) =>
    noticeFrom(occasion, telling(circle.people, circle.classId), circle),
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
