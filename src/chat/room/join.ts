/** Coming in: class code and name, and for staff a one-time pass. */
import type { Clock } from "../../base/clock.js";
import { Refusal } from "../../base/refusal.js";
import type { Asker } from "../../commands/command.js";
import { classOf, groupsOf } from "../../commands/people.js";
import type { Role } from "../../journal/events.js";
import { NAME_OF_FORGOTTEN } from "../../journal/fold-people.js";
import { membersIn } from "../../journal/membership.js";
import type { Address, PersonId } from "../../queue/request.js";
import type { SurfaceHost } from "../surface.js";
import { Attempts, addressKey } from "./attempts.js";
import { sameCode } from "./codes.js";
import { cleanName, nameKey, slugOf } from "./names.js";
import type { Passes, StaffRole } from "./passes.js";

/** What the join form sends. */
export interface JoinForm {
  readonly code: string;
  readonly name: string;
  readonly group: string | null;
  readonly pass: string | null;
}

export interface JoinParts {
  readonly host: SurfaceHost;
  readonly classId: string;
  readonly code: string;
  readonly passes: Passes;
  /** Real time, for counting wrong codes. */
  readonly real: Clock;
  /** Called when a pass has been used. */
  readonly onPassUsed: (person: Asker) => void;
}

/** What wrong codes count against. */
type Keys = readonly [address: string, name: string];

/** Wrong codes within five minutes: a whole class may share one address, a name is one person's. */
const MOST_FOR_ADDRESS = 20;
const MOST_FOR_NAME = 6;

export class Door {
  private readonly byAddress: Attempts;
  private readonly byName: Attempts;
  /** One at a time, so that two people cannot take one name at once. */
  private line: Promise<unknown> = Promise.resolve();

  constructor(private readonly parts: JoinParts) {
    this.byAddress = new Attempts(parts.real, MOST_FOR_ADDRESS);
    this.byName = new Attempts(parts.real, MOST_FOR_NAME);
  }

  /** Where notices to people of this room go. */
  get home(): Address {
    return { surface: "room", channel: this.parts.classId };
  }

  /**
   * Lets a person in, or tells why not.
   * @param holder who the browser already is, by its token
   * @throws {Refusal} codes "wait", "wrong-code", "wrong-pass", "bad-name", "name-taken", "unknown-group"
   */
  join(form: JoinForm, address: string, holder: Asker | null): Promise<Asker> {
    const turn = this.line.then(() => this.admit(form, address, holder));
    this.line = turn.catch(() => {});
    return turn;
  }

  /**
   * Makes someone who is in already a member of staff, by a one-time pass.
   * @throws {Refusal} codes "wait", "wrong-pass"
   */
  async promote(holder: Asker, pass: string, address: string): Promise<Asker> {
    const role = this.checkPass(pass, [addressKey(address), nameKey(holder.name)]);
    const asker: Asker = { ...holder, role };
    this.parts.passes.spend(pass);
    await this.parts.host.welcome(asker, this.home);
    this.parts.onPassUsed(asker);
    return asker;
  }

  private async admit(form: JoinForm, address: string, holder: Asker | null): Promise<Asker> {
    const name = cleanName(form.name);
    const passRole = this.check(form, addressKey(address), nameKey(name));
    const id = this.idFor(name, passRole, holder);
    const known = this.parts.host.services.desk.state.people.get(id);
    const role: Role = passRole ?? (known && holder?.id === id ? known.role : "student");
    const asker: Asker = { id, name, classId: this.parts.classId, role };
    await this.parts.host.welcome(asker, this.home);
    if (form.group !== null) await this.joinGroup(asker, form.group);
    if (form.pass !== null && passRole !== null) {
      this.parts.passes.spend(form.pass);
      this.parts.onPassUsed(asker);
    }
    return asker;
  }

  /** Code and pass; every wrong one counts against the address and the name. */
  private check({ code, pass }: JoinForm, address: string, name: string): StaffRole | null {
    this.refuseGuessing([address, name]);
    if (!sameCode(code, this.parts.code)) {
      this.noteWrong([address, name]);
      throw new Refusal("wrong-code", "That is not tonight's class code: your instructor has it.");
    }
    return pass === null ? null : this.checkPass(pass, [address, name]);
  }

  private checkPass(pass: string, keys: Keys): StaffRole {
    this.refuseGuessing(keys);
    const role = this.parts.passes.roleFor(pass);
    if (role !== null) return role;
    this.noteWrong(keys);
    throw new Refusal(
      "wrong-pass",
      "That pass is not valid, or has been used: each works once. Leave it empty to join as a student.",
    );
  }

  private refuseGuessing([address, name]: Keys): void {
    const wait = Math.max(this.byAddress.minutesToWait(address), this.byName.minutesToWait(name));
    if (wait === 0) return;
    throw new Refusal(
      "wait",
      `Too many wrong codes: wait ${wait} min, then ask your instructor for the code.`,
    );
  }

  private noteWrong([address, name]: Keys): void {
    this.byAddress.failed(address);
    this.byName.failed(name);
  }

  /** The id that goes with a name; a name that someone else has is refused. */
  private idFor(name: string, passRole: StaffRole | null, holder: Asker | null): PersonId {
    const { host, classId } = this.parts;
    const key = nameKey(name);
    const { state } = host.services.desk;
    if (holder !== null && nameKey(holder.name) === key) return holder.id;
    for (const person of membersIn(state, classId)) {
      if (person.name === NAME_OF_FORGOTTEN) continue;
      if (nameKey(person.name) === key) throw taken(name);
    }
    const account = this.configuredAccount(name, passRole) ?? slugOf(name);
    for (let number = 1; ; number++) {
      const id = `room:${account}${number === 1 ? "" : `-${number}`}`;
      if (!state.people.has(id)) return id;
    }
  }

  /** The account of the class member with that name; staff come with a pass, and the invented class is there already. */
  private configuredAccount(name: string, passRole: StaffRole | null): string | null {
    const { services } = this.parts.host;
    const members = classOf(services.config, this.parts.classId);
    const named = (each: { readonly name: string }): boolean => nameKey(each.name) === nameKey(name);
    const instructor = members?.instructors.find(named);
    const operator = members?.operators.find(named);
    if ((instructor && passRole !== "instructor") || (operator && passRole === null)) {
      throw new Refusal(
        "name-taken",
        `"${name}" is kept for staff, who come in with a one-time pass: type your own name.`,
      );
    }
    const student = members?.students.find(named);
    const { link, practice } = services.config.telescope;
    if (student && link === "practice" && practice.classmates) {
      throw new Refusal(
        "name-taken",
        `"${name}" is one of tonight's invented classmates: add a letter or type another name.`,
      );
    }
    return (instructor ?? operator ?? student)?.id ?? null;
  }

  private async joinGroup(asker: Asker, group: string): Promise<void> {
    const { desk, config } = this.parts.host.services;
    if (!groupsOf(asker.classId, desk.state, config).includes(group)) {
      throw new Refusal(
        "unknown-group",
        `There is no group "${group.slice(0, 40)}": choose one from the list.`,
      );
    }
    await desk.act(
      (state) => {
        if (state.people.get(asker.id)?.group === group) return [];
        const set = state.groups.get(asker.classId)?.get(group) ?? [];
        // Whoever is in it by the configuration stays in it.
        const there = membersIn(state, asker.classId).filter((each) => each.group === group);
        const members = [...new Set([...set, ...there.map((each) => each.id), asker.id])];
        return [{ type: "group.set", classId: asker.classId, group, members }];
      },
      { by: asker.id },
    );
  }
}

function taken(name: string): Refusal {
  return new Refusal(
    "name-taken",
    `Someone is here as "${name}" already: add a letter or your second name. If it was you, use the phone you joined with.`,
  );
}
