/** Class members as the configuration lists them, found by what a person types. */

import { Refusal } from "../base/refusal.js";
import type { PersonId, Role } from "../queue/request.js";
import type { Config, TeachingClass } from "./config.js";

/** A member of a class, with the group the configuration puts them in. */
export interface Member {
  readonly id: PersonId;
  readonly name: string;
  readonly classId: string;
  readonly role: Role;
  readonly group: string | null;
}

/** All members of a class as people of one surface, students first. */
export function membersOf(teachingClass: TeachingClass, surface: string): Member[] {
  const made = (role: Role, list: TeachingClass["students"]): Member[] =>
    list.map((each) => ({
      id: `${surface}:${each.id}`,
      name: each.name,
      classId: teachingClass.id,
      role,
      group: each.group,
    }));
  return [
    ...made("student", teachingClass.students),
    ...made("operator", teachingClass.operators),
    ...made("instructor", teachingClass.instructors),
  ];
}

/**
 * The member meant by an id, a name or a role ("instructor": the first of them).
 * @throws {Refusal} code "unknown-member", with the names that are possible
 */
export function findMember(config: Config, surface: string, who: string): Member {
  const members = config.classes.flatMap((each) => membersOf(each, surface));
  const wanted = who.trim().toLowerCase();
  const found =
    members.find((each) => each.id === `${surface}:${wanted}`) ??
    members.find((each) => each.name.toLowerCase() === wanted) ??
    members.find((each) => each.role === wanted);
  if (found) return found;
  const names = members.slice(0, 6).map((each) => each.name);
  throw new Refusal(
    "unknown-member",
    `${wanted === "" ? "Nobody was named" : `There is no "${who.slice(0, 40)}" in the class`}: type student, instructor, operator or a name such as ${names.join(", ")}.`,
  );
}

/** Who types when nobody is named: the first member listed, or the keyboard's owner where a class lists nobody. */
export function firstMember(config: Config, surface: string): Member {
  const listed = config.classes.flatMap((each) => membersOf(each, surface))[0];
  const classId = (config.classes[0] as TeachingClass).id;
  return listed ?? { id: `${surface}:keyboard`, name: "Staff", classId, role: "instructor", group: null };
}
