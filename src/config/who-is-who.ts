/** People of the class lists: one id is one person, and a name or a role that is typed means one of them. */
import type { TeachingClass } from "./config.js";
import type { ConfigFault } from "./config-fault.js";

const LISTS = ["students", "instructors", "operators"] as const;
/** Typed in place of a name, these mean the first of that role. */
const ROLE_WORDS: ReadonlySet<string> = new Set(["student", "instructor", "operator"]);

interface Listing {
  readonly id: string;
  readonly name: string;
  readonly classIndex: number;
  readonly classId: string;
  readonly student: boolean;
  readonly path: (string | number)[];
}

/** All faults of identity in the class lists, at most one for each key. */
export function whoIsWhoFaults(classes: readonly TeachingClass[]): ConfigFault[] {
  const listings = classes.flatMap(listingsOf);
  return listings.flatMap((listing, index) => {
    const earlier = listings.slice(0, index);
    return [...idFault(listing, earlier), ...nameFault(listing, earlier)];
  });
}

function listingsOf(listed: TeachingClass, classIndex: number): Listing[] {
  return LISTS.flatMap((list) =>
    listed[list].map(({ id, name }, index) => ({
      id,
      name,
      classIndex,
      classId: listed.id,
      student: list === "students",
      path: ["classes", classIndex, list, index],
    })),
  );
}

/** A person's requests, name and role hang on the id alone, whatever the class. */
function idFault(listing: Listing, earlier: readonly Listing[]): ConfigFault[] {
  const { id, name, classIndex } = listing;
  const fault = (allowed: string): ConfigFault[] => [{ path: [...listing.path, "id"], found: id, allowed }];
  const same = earlier.filter((each) => each.id === id);
  if (same.some((each) => each.classIndex === classIndex)) return fault("a different id for each person");
  const other = same.find((each) => listing.student || each.student || each.name !== name);
  if (!other) return [];
  return fault(
    listing.student || other.student
      ? `an id that class ${other.classId} does not have: only staff may be in several classes`
      : `an id that is nobody else's, or the same name as in class ${other.classId}, ${other.name}`,
  );
}

function nameFault(listing: Listing, earlier: readonly Listing[]): ConfigFault[] {
  const key = caselessName(listing.name);
  const allowed = ROLE_WORDS.has(key)
    ? "a name that is no role's word (student, instructor, operator)"
    : earlier.some((each) => each.classIndex === listing.classIndex && caselessName(each.name) === key)
      ? "a different name for each person of a class"
      : null;
  return allowed === null ? [] : [{ path: [...listing.path, "name"], found: listing.name, allowed }];
}

/** Names that differ in case alone are the same name. */
export function caselessName(name: string): string {
  return name.normalize("NFC").toLowerCase();
}
