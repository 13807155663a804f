/** Who is in which class: one person may be in several, with a name, role, group and home in each. */
import type { PersonId } from "../queue/request.js";
import type { PersonRecord } from "./events.js";
import type { State } from "./state.js";

type People = Pick<State, "people">;

/** The person as one class knows them; null when they have never been in it. */
export function memberOf({ people }: People, personId: PersonId, classId: string): PersonRecord | null {
  const known = people.get(personId);
  if (known?.classId === classId) return known;
  return known?.elsewhere?.find((each) => each.classId === classId) ?? null;
}

/** Everyone who has been in a class, as it knows them, in order of joining. */
export function membersIn({ people }: People, classId: string): PersonRecord[] {
  return [...people.keys()].flatMap((personId) => memberOf({ people }, personId, classId) ?? []);
}

/** Ids of the classes that a person has been in, the last one first. */
export function classesOf({ people }: People, personId: PersonId): string[] {
  const known = people.get(personId);
  return known ? [known, ...(known.elsewhere ?? [])].map((each) => each.classId) : [];
}
