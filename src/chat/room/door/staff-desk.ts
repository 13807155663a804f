/** What instructors do for and about people: let someone back in, take staff rights back. */

import { Refusal } from "../../../base/refusal.js";
import { MINUTE } from "../../../base/units.js";
import type { Asker } from "../../../commands/command.js";
import type { PersonRecord } from "../../../journal/events.js";
import type { PersonId } from "../../../queue/request.js";
import type { RoomParts } from "../parts.js";
import type { WireLetBack, WirePerson } from "../wire.js";
import { COMEBACK_WITHIN } from "./codes.js";
import { peopleOfRoom } from "./register.js";

export class StaffDesk {
  constructor(private readonly parts: RoomParts) {}

  /**
   * Everyone else of the room, by name.
   * @throws {Refusal} code "not-allowed"
   */
  people(by: Asker): WirePerson[] {
    return this.others(by)
      .map(({ id, name, role }) => ({ id, name, role }))
      .sort((a, b) => a.name.localeCompare(b.name, "en"));
  }

  /**
   * A code with which a person comes back under their own name, once.
   * @throws {Refusal} codes "not-allowed", "unknown-person"
   */
  letBack(by: Asker, personId: PersonId): WireLetBack {
    const { name } = this.find(by, personId);
    const code = this.parts.codes.makeComeback(personId, by.id);
    return { name, code, minutes: COMEBACK_WITHIN / MINUTE };
  }

  /**
   * Makes a person a student again. They are signed out, and the passes and codes they made are void.
   * @throws {Refusal} codes "not-allowed", "unknown-person", "no-staff"
   */
  async demote(by: Asker, personId: PersonId): Promise<{ readonly name: string }> {
    const { host, tokens, codes } = this.parts;
    const { id, name, classId, role, group, home } = this.find(by, personId);
    if (role === "student") throw new Refusal("no-staff", `${name} has no staff rights.`);
    codes.voidBy(personId);
    await host.services.desk.act(
      () => [
        { type: "person.joined", person: { id, name, classId, role: "student", group, home } },
        tokens.voiding(personId, "demoted"),
      ],
      { by: by.id },
    );
    return { name };
  }

  private find(by: Asker, personId: PersonId): PersonRecord {
    const found = this.others(by).find(({ id }) => id === personId);
    if (found) return found;
    throw new Refusal("unknown-person", "That person is not in the room: open the list again.");
  }

  private others(by: Asker): PersonRecord[] {
    if (by.role !== "instructor") throw new Refusal("not-allowed", "Only an instructor does that.");
    return peopleOfRoom(this.parts.host, this.parts.classId).filter(({ id }) => id !== by.id);
  }
}
