/** Names that not everyone may take: what the product calls people, and the names of staff. */
import { capital } from "../../../base/english.js";
import type { TeachingClass } from "../../../config/config.js";
import { sameName } from "./look-alikes.js";
import { badName } from "./names.js";

type Member = TeachingClass["instructors"][number];

/** What someone with a staff pass may be called. */
const TITLES = ["prof", "professor", "teacher", "instructor", "operator", "lecturer", "tutor"];
/** Not in any name: nobody could tell the person from the role or the crowd. */
const NEVER = [
  ..."someone somebody anyone anybody everyone everybody nobody noone staff telescope nightslate outbox".split(
    " ",
  ),
  ..."admin administrator moderator".split(" "),
];
/** Not as the whole name, for commands give them a meaning; some are surnames or first names too. */
const NOT_ALONE = "you me my mine all any none here own group class room system schedule waiting".split(" ");
const WRITTEN_TITLES = /^(?:professor|prof|doctor|dr|mrs|mr|ms|miss|mx|sir|teacher)/iu;

/**
 * Refuses names that the product uses itself.
 * @param withPass whether the person has shown a staff pass
 * @throws {Refusal} code "bad-name"
 */
export function refuseKept(name: string, withPass: boolean): void {
  const isOneOf = (kept: readonly string[], part: string): boolean =>
    kept.some((each) => sameName(part, each) || sameName(part, capital(each)));
  const parts = [name, ...wordsOf(name)];
  if (isOneOf(NOT_ALONE, name) || parts.some((part) => isOneOf(NEVER, part)))
    throw badName(`"${name}" is no name that can be taken: type your own.`);
  if (!withPass && parts.some((part) => isOneOf(TITLES, part)))
    throw badName(`"${name}" is a staff name. Type your own, or add your pass below.`);
}

/** Of these members the one whose name, or surname in whatever company, a reader would see in the name. */
export function memberSeenIn<M extends Member>(name: string, members: readonly M[]): M | null {
  const exact = members.find((each) => sameName(name, each.name));
  return exact ?? members.find((each) => showsSurname(name, each.name)) ?? null;
}

function showsSurname(name: string, staffName: string): boolean {
  const [first, ...others] = wordsOf(staffName);
  const surname = others.at(-1);
  if (first === undefined || surname === undefined) return false;
  const words = wordsOf(name);
  const together = words.join("").replace(WRITTEN_TITLES, "");
  return [...words, name, together].some((part) => sameName(part, surname));
}

function wordsOf(name: string): string[] {
  return name.split(/[^\p{L}\p{N}\p{M}]+/u).filter((word) => word !== "");
}
