/** Who is who, and what one class may know of another. */

import { listed } from "../../base/english.js";
import { Refusal } from "../../base/refusal.js";
import type { Config, TeachingClass } from "../../config/config.js";
import { caselessName } from "../../config/who-is-who.js";
import type { NightslateEvent } from "../../journal/events.js";
import { memberOf, membersIn } from "../../journal/membership.js";
import type { State } from "../../journal/state.js";
import type { Address, PersonId, Request } from "../../queue/request.js";
import type { Asker } from "../command.js";
import { nearest } from "../read/spelling.js";
import type { Services } from "../services.js";

/** What a person in another class is called. */
const STRANGER = "someone in another class";

/** The account part of a person's id: "mira" of "terminal:mira". */
export function accountOf(personId: PersonId): string {
  return personId.slice(personId.indexOf(":") + 1);
}

/** A person's name as one class may see it; the names of other classes' people never leave their class. */
export function nameFor(personId: PersonId, viewerClassId: string, state: State, config: Config): string {
  const member = memberOf(state, personId, viewerClassId);
  if (member) return member.name;
  if (state.people.has(personId)) return STRANGER;
  const listedMember = membersOf(classOf(config, viewerClassId)).find(
    (each) => each.id === accountOf(personId),
  );
  return listedMember?.name ?? "someone";
}

/** The class with this id; undefined when the configuration no longer has it. */
export function classOf(config: Config, classId: string): TeachingClass | undefined {
  return config.classes.find((each) => each.id === classId);
}

/** The group a person works in: as set during the term, else as configured; null for none. */
export function groupOf(personId: PersonId, classId: string, state: State, config: Config): string | null {
  for (const [group, members] of state.groups.get(classId) ?? []) {
    if (members.includes(personId)) return group;
  }
  const configured = membersOf(classOf(config, classId)).find((each) => each.id === accountOf(personId));
  return configured?.group ?? memberOf(state, personId, classId)?.group ?? null;
}

/** Names of a class's groups, set or configured, in alphabetical order. */
export function groupsOf(classId: string, state: State, config: Config): string[] {
  const configured = membersOf(classOf(config, classId)).flatMap((each) => each.group ?? []);
  const set = [...(state.groups.get(classId)?.keys() ?? [])];
  return [...new Set([...set, ...configured])].sort((a, b) => a.localeCompare(b, "en"));
}

/** The tier in which a person's requests run: staff before their class. */
export function tierOf(asker: Asker, config: Config): number {
  const teachingClass = classOf(config, asker.classId);
  const name = asker.role === "student" ? (teachingClass?.tier ?? config.tiers.at(-1)) : config.staffTier;
  return Math.max(0, config.tiers.indexOf(name ?? ""));
}

/** Whether a request was asked, or is shared, by this person. */
export function isMine(request: Request, personId: PersonId): boolean {
  return request.owner === personId || request.sharers.includes(personId);
}

/**
 * The event that makes the asker known in their class, or corrects what changed about them; null when nothing
 * did. A home that is known stays.
 */
export function joining(state: State, asker: Asker, home: Address, config: Config): NightslateEvent | null {
  return joiningAt(memberOf(state, asker.id, asker.classId)?.home ?? home, state, asker, config);
}

/** The same for someone whose notices in this class go to `home` from now on. */
export function joiningAt(home: Address, state: State, asker: Asker, config: Config): NightslateEvent | null {
  const { id, name, classId, role } = asker;
  const known = state.people.get(id);
  const same =
    known?.classId === classId &&
    known.name === name &&
    known.role === role &&
    known.home.surface === home.surface &&
    known.home.channel === home.channel;
  if (same) return null;
  const group = groupOf(id, classId, state, config) ?? groupByName(asker, state, config);
  return { type: "person.joined", person: { id, name, classId, role, group, home } };
}

/**
 * The class list's group for a student who comes under the name that stands there, where nobody else of the
 * class goes by it: on a chat platform the list's ids are nobody's accounts.
 */
function groupByName({ id, name, classId }: Asker, state: State, config: Config): string | null {
  const key = caselessName(name);
  const listed = classOf(config, classId)?.students.filter((each) => caselessName(each.name) === key) ?? [];
  const taken = membersIn(state, classId).some((each) => each.id !== id && caselessName(each.name) === key);
  return listed.length === 1 && !taken ? (listed[0]?.group ?? null) : null;
}

/**
 * Someone of the asker's class, by id, account, mention, name or beginning of a name.
 * @throws {Refusal} codes "unknown-person", "ambiguous-person", "not-here-yet"
 */
export function findPerson(
  typed: string,
  asker: Asker,
  surface: string,
  services: Pick<Services, "desk" | "config" | "venues">,
): PersonId {
  const mentioned = services.venues.of(surface).mentioned(typed);
  const wanted = mentioned ? `${surface}:${mentioned}` : caselessName(typed.replace(/^@/, ""));
  const people = classmates(asker.classId, surface, services);
  const exact = people.filter((each) =>
    [each.id, accountOf(each.id), each.name].some((name) => caselessName(name) === wanted),
  );
  const close = people.filter((each) => wanted.length >= 2 && caselessName(each.name).startsWith(wanted));
  const found = exact.length > 0 ? exact : close;
  if (new Set(found.map((each) => each.id)).size === 1) return found[0]!.id;
  if (found.length > 1) throw ambiguous(typed, found);
  if (wanted.startsWith(`${surface}:`)) throw new Refusal("not-here-yet", `That person ${NOT_HERE_YET}`);
  const absent = absentees(asker.classId, surface, services).filter((each) =>
    caselessName(each.name).startsWith(wanted),
  );
  if (wanted.length >= 2 && absent[0]) throw new Refusal("not-here-yet", `${absent[0].name} ${NOT_HERE_YET}`);
  throw new Refusal(
    "unknown-person",
    unknownPerson(
      typed,
      people.map((each) => each.name),
    ),
  );
}

const NOT_HERE_YET =
  "has typed no command in your class yet, so nothing of theirs is here; one such as /tonight makes them known.";

/** Everyone of a class who can be named: those who have joined, and those of its list who can be on `surface`. */
export function classmates(
  classId: string,
  surface: string,
  services: Pick<Services, "desk" | "config" | "venues">,
): Classmate[] {
  const others = absentees(classId, surface, services)
    .filter((each) => services.venues.of(surface).isAccount(each.id))
    .map((each) => ({ id: `${surface}:${each.id}`, name: each.name }));
  return [...membersIn(services.desk.state, classId), ...others];
}

interface Classmate {
  readonly id: PersonId;
  readonly name: string;
}

/** Those of the class list who have not joined: by their account, or by name where the list's id is no account. */
export function absentees(
  classId: string,
  surface: string,
  { desk, config, venues }: Pick<Services, "desk" | "config" | "venues">,
): TeachingClass["students"] {
  const { isAccount } = venues.of(surface);
  const joined = membersIn(desk.state, classId);
  const accounts = new Set(joined.map((each) => accountOf(each.id)));
  const names = new Set(joined.map((each) => caselessName(each.name)));
  return membersOf(classOf(config, classId)).filter(
    (each) => !accounts.has(each.id) && (isAccount(each.id) || !names.has(caselessName(each.name))),
  );
}

function ambiguous(typed: string, found: readonly Classmate[]): Refusal {
  const accounts = new Set(found.map((each) => accountOf(each.id)));
  const key = (id: PersonId): string => (accounts.size === found.length ? accountOf(id) : id);
  const choices = found.slice(0, 4).map((each) => `${each.name} (${key(each.id)})`);
  return new Refusal(
    "ambiguous-person",
    `More than one person is called "${typed}": type ${listed(choices, "or")} by the word in brackets.`,
  );
}

function membersOf(teachingClass: TeachingClass | undefined): TeachingClass["students"] {
  if (!teachingClass) return [];
  return [...teachingClass.students, ...teachingClass.operators, ...teachingClass.instructors];
}

function unknownPerson(typed: string, names: readonly string[]): string {
  const near = nearest(typed, names);
  const hint = near ? `did you mean ${near}?` : `type a name such as ${listed(names.slice(0, 3), "or")}.`;
  return `There is nobody called "${typed.slice(0, 40)}" in your class; ${hint}`;
}
