/** What each event about people and their classes does to the state. */
import type { Draft, Folds } from "./draft.js";
import type { PersonRecord } from "./events.js";
import type { KnownPerson } from "./state.js";

/** Stands where a name stood that has been removed. */
export const NAME_OF_FORGOTTEN = "someone";

export const peopleFolds = {
  "person.joined": (draft, { person }, atUnixMs) => {
    draft.people.set(person.id, withClasses(person, draft.people.get(person.id)));
    draft.lastActive.set(person.id, atUnixMs);
  },
  "person.alerts": (draft, { personId, choice }) => {
    draft.alerts.set(personId, choice);
  },
  "person.forgotten": (draft, { personId }) => {
    const known = draft.people.get(personId);
    if (known)
      draft.people.set(
        personId,
        inEachClass(known, (record) => ({ ...record, name: NAME_OF_FORGOTTEN })),
      );
    draft.alerts.delete(personId);
    draft.lastActive.delete(personId);
    for (const [number, request] of draft.requests) {
      if (request.owner === personId && request.note !== null)
        draft.requests.set(number, { ...request, note: null });
    }
    for (const [key, { people }] of draft.outbox) {
      if (people.length === 1 && people[0] === personId) draft.outbox.delete(key);
    }
    dropEmptyParcels(draft);
  },
  "session.opened": (draft, { classId, untilUnixMs }, atUnixMs) => {
    draft.sessions.set(classId, { openedUnixMs: atUnixMs, untilUnixMs });
  },
  "session.closed": (draft, { classId }) => {
    draft.sessions.delete(classId);
  },
  "group.set": (draft, { classId, group, members }) => {
    const before = [...(draft.groups.get(classId) ?? [])];
    const others = before
      .filter(([name]) => name !== group)
      .map(([name, people]) => [name, people.filter((each) => !members.includes(each))] as const);
    draft.groups.set(classId, new Map([...others, [group, members]]));
    for (const [personId, person] of draft.people) {
      const regrouped = inEachClass(person, (record) => {
        const now = record.classId === classId ? groupNow(record, group, members) : record.group;
        return now === record.group ? record : { ...record, group: now };
      });
      if (regrouped !== person) draft.people.set(personId, regrouped);
    }
  },
  "announcement.made": () => {},
} satisfies Partial<Folds>;

/** Lets go of parcels whose notices have all been delivered, dropped or withdrawn. */
export function dropEmptyParcels(draft: Draft): void {
  for (const [key, noticeKeys] of draft.parcels) {
    if (!noticeKeys.some((each) => draft.outbox.has(each))) draft.parcels.delete(key);
  }
}

/** The newest record, with those of the person's other classes behind it. */
function withClasses(person: PersonRecord, known: KnownPerson | undefined): KnownPerson {
  if (!known) return person;
  const { elsewhere = [], ...last } = known;
  const others = [last, ...elsewhere].filter((each) => each.classId !== person.classId);
  return others.length > 0 ? { ...person, elsewhere: others } : person;
}

/** The same change to every record of a person; the very same object when nothing changes. */
function inEachClass(known: KnownPerson, change: (record: PersonRecord) => PersonRecord): KnownPerson {
  const { elsewhere, ...last } = known;
  const here = change(last);
  const others = elsewhere?.map(change);
  const same = here === last && (others ?? []).every((each, index) => each === elsewhere?.[index]);
  return same ? known : { ...here, ...(others ? { elsewhere: others } : {}) };
}

function groupNow(
  { id, group: before }: PersonRecord,
  group: string,
  members: readonly string[],
): string | null {
  if (members.includes(id)) return group;
  return before === group ? null : before;
}
