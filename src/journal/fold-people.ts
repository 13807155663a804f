/** What each event about people and their classes does to the state. */
import type { Draft, FoldsOf } from "./draft.js";
import type { PersonRecord } from "./events.js";

/** Stands where a name stood that has been removed. */
export const NAME_OF_FORGOTTEN = "someone";

export const peopleFolds: FoldsOf<
  | "person.joined"
  | "person.alerts"
  | "person.forgotten"
  | "session.opened"
  | "session.closed"
  | "group.set"
  | "announcement.made"
> = {
  "person.joined": (draft, { person }, atUnixMs) => {
    draft.people.set(person.id, person);
    draft.lastActive.set(person.id, atUnixMs);
  },
  "person.alerts": (draft, { personId, choice }) => {
    draft.alerts.set(personId, choice);
  },
  "person.forgotten": (draft, { personId }) => {
    const known = draft.people.get(personId);
    if (known) draft.people.set(personId, { ...known, name: NAME_OF_FORGOTTEN });
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
      const now = groupNow(person, classId, group, members);
      if (now !== person.group) draft.people.set(personId, { ...person, group: now });
    }
  },
  "announcement.made": () => {},
};

/** Lets go of parcels whose notices have all been delivered, dropped or withdrawn. */
export function dropEmptyParcels(draft: Draft): void {
  for (const [key, noticeKeys] of draft.parcels) {
    if (!noticeKeys.some((each) => draft.outbox.has(each))) draft.parcels.delete(key);
  }
}

function groupNow(
  person: PersonRecord,
  classId: string,
  group: string,
  members: readonly string[],
): string | null {
  if (members.includes(person.id)) return group;
  return person.classId === classId && person.group === group ? null : person.group;
}
