/** Who is who, and what one class may know of another. */
import { Refusal } from "../base/refusal.js";
import type { Config, TeachingClass } from "../config/config.js";
import type { NightslateEvent } from "../journal/events.js";
import type { State } from "../journal/state.js";
import type { Address, PersonId, Request } from "../queue/request.js";
import type { Asker } from "./command.js";
import { nearest } from "./spelling.js";
import { listed } from "./words.js";

/** What a person in another class is called. */
const STRANGER = "someone in another class";

/** The account part of a person's id: "mira" of "terminal:mira". */
export function accountOf(personId: PersonId): string {
  return personId.slice(personId.indexOf(":") + 1);
}

/** A person's name as one class may see it; the names of other classes' people never leave their class. */
export function nameFor(personId: PersonId, viewerClassId: string, state: State, config: Config): string {
  const known = state.people.get(personId);
  if (known) return known.classId === viewerClassId ? known.name : STRANGER;
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
  return configured?.group ?? state.people.get(personId)?.group ?? null;
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

/** The event that makes the asker known, or corrects what changed about them; null when nothing did. */
export function joining(state: State, asker: Asker, home: Address, config: Config): NightslateEvent | null {
  const known = state.people.get(asker.id);
  const same = known?.name === asker.name && known.classId === asker.classId && known.role === asker.role;
  if (same) return null;
  const { id, name, classId, role } = asker;
  const group = groupOf(id, classId, state, config);
  return { type: "person.joined", person: { id, name, classId, role, group, home: known?.home ?? home } };
}

/**
 * Someone of the asker's class, by id, account, name or beginning of a name.
 * @throws {Refusal} code "unknown-person" or "ambiguous-person"
 */
export function findPerson(
  typed: string,
  asker: Asker,
  surface: string,
  state: State,
  config: Config,
): PersonId {
  const wanted = typed.replace(/^@/, "").toLowerCase();
  const people = classmates(asker.classId, surface, state, config);
  const exact = people.filter((each) =>
    [each.id, accountOf(each.id), each.name].some((name) => name.toLowerCase() === wanted),
  );
  const close = people.filter((each) => wanted.length >= 2 && each.name.toLowerCase().startsWith(wanted));
  const found = exact.length > 0 ? exact : close;
  if (found.length === 1 || new Set(found.map((each) => each.id)).size === 1) return found[0]!.id;
  if (found.length > 1) {
    const accounts = new Set(found.map((each) => accountOf(each.id)));
    const key = (id: PersonId): string => (accounts.size === found.length ? accountOf(id) : id);
    const choices = found.slice(0, 4).map((each) => `${each.name} (${key(each.id)})`);
    throw new Refusal(
      "ambiguous-person",
      `More than one person is called "${typed}": type ${listed(choices, "or")} by the word in brackets.`,
    );
  }
  throw new Refusal(
    "unknown-person",
    unknownPerson(
      typed,
      people.map((each) => each.name),
    ),
  );
}

/** Everyone of a class: those who have joined, and those the configuration lists, as people of `surface`. */
export function classmates(
  classId: string,
  surface: string,
  state: State,
  config: Config,
): { readonly id: PersonId; readonly name: string }[] {
  const joined = [...state.people.values()].filter((each) => each.classId === classId);
  const accounts = new Set(joined.map((each) => accountOf(each.id)));
  const others = membersOf(classOf(config, classId))
    .filter((each) => !accounts.has(each.id))
    .map((each) => ({ id: `${surface}:${each.id}`, name: each.name }));
  return [...joined, ...others];
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
