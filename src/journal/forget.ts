/**
 * Removes a person's own words and name from stored entries.
 *
 * Goes: the name, notes on requests, alert choices, and the text of notices to or about the person that have
 * been delivered. Stays, as the record of the class: the account id, class, group and role; what was asked,
 * taken and cancelled and when; frames; what staff wrote (reasons, announcements); and damaged files that
 * were set aside. A notice still to be delivered keeps its text until a later removal.
 */
import type { PersonId } from "../queue/request.js";
import type { Entry, NightslateEvent } from "./events.js";
import { NAME_OF_FORGOTTEN } from "./fold-people.js";
import type { Notice } from "./notice.js";

/**
 * The entry without the person's data; the very same object when it holds none.
 * Folding the result gives the same queue.
 * @param isPending whether a notice, by its key, is still to be delivered
 */
export function withoutPerson(entry: Entry, personId: PersonId, isPending: (key: string) => boolean): Entry {
  const events = entry.events
    .filter((event) => !(event.type === "person.alerts" && event.personId === personId))
    .map((event) => withoutWords(event, personId));
  const notices = entry.notices.map((notice) =>
    concerns(notice, personId) && !isPending(notice.key) ? { ...notice, ...NO_TEXT } : notice,
  );
  const same = (now: readonly unknown[], before: readonly unknown[]): boolean =>
    now.length === before.length && now.every((each, index) => each === before[index]);
  return same(events, entry.events) && same(notices, entry.notices) ? entry : { ...entry, events, notices };
}

function withoutWords(event: NightslateEvent, personId: PersonId): NightslateEvent {
  if (
    event.type === "person.joined" &&
    event.person.id === personId &&
    event.person.name !== NAME_OF_FORGOTTEN
  ) {
    return { ...event, person: { ...event.person, name: NAME_OF_FORGOTTEN } };
  }
  if (event.type === "request.made" && event.owner === personId && event.wish.note !== null) {
    return { ...event, wish: { ...event.wish, note: null } };
  }
  return event;
}

function concerns({ people, lines }: Notice, personId: PersonId): boolean {
  const mentions = lines.some((line) =>
    line.some((part) => typeof part !== "string" && "personId" in part && part.personId === personId),
  );
  return (mentions || people.includes(personId)) && lines.length > 0;
}

const NO_TEXT = { title: "", lines: [], attachment: null, actions: [] } as const;
