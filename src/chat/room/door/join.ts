/** Coming in: class code and name, and for staff a one-time pass; coming back under one's own name. */
import { Refusal } from "../../../base/refusal.js";
import type { Asker } from "../../../commands/command.js";
import { groupsOf } from "../../../commands/people/people.js";
import { membersIn } from "../../../journal/membership.js";
import type { Address, PersonId } from "../../../queue/request.js";
import type { RoomParts } from "../parts.js";
import { Bucket } from "../serve/bucket.js";
import { addressKey, soon } from "./attempts.js";
import type { StaffRole } from "./codes.js";
import type { Caller, Gate } from "./gate.js";
import { sameName } from "./look-alikes.js";
import { cleanName } from "./names.js";
import { Register } from "./register.js";

/** What the join form sends. */
export interface JoinForm {
  /** The class code, or a person's own code to come back. */
  readonly code: string;
  readonly name: string;
  readonly group: string | null;
  readonly pass: string | null;
}

/** New names from one address: a class behind one school's address at once, then one every 30 s. */
const LEAST_AT_ONCE = 40;
const SPARE_PLACES = 10;
const NAMES_PER_SECOND = 1 / 30;
/** Addresses remembered for that; the oldest is forgotten first. */
const MOST_ADDRESSES = 10_000;

export class Door {
  private readonly register: Register;
  private readonly newNames = new Map<string, Bucket>();
  /** One at a time, so that two people cannot take one name, nor use one pass, at once. */
  private line: Promise<unknown> = Promise.resolve();

  /** @param onPassUsed called when a pass has been used */
  constructor(
    private readonly parts: RoomParts,
    private readonly gate: Gate,
    private readonly onPassUsed: (person: Asker) => void,
  ) {
    this.register = new Register(parts.host, parts.classId);
  }

  /** Where notices to people of this room go. */
  get home(): Address {
    return { surface: "room", channel: this.parts.classId };
  }

  /**
   * Lets a person in, or tells why not.
   * @param holder who the browser already is, by its token
   * @throws {Refusal} codes "wait", "wrong-code", "wrong-pass", "bad-name", "name-taken", "other-name",
   * "already-in", "unknown-group"
   */
  join(form: JoinForm, address: string, holder: Asker | null): Promise<Asker> {
    return this.inTurn(() => this.admit(form, address, holder));
  }

  /**
   * Names of the groups, for someone with the right code.
   * @throws {Refusal} codes "wait", "wrong-code"
   */
  groups(code: string, address: string, holder: Asker | null): readonly string[] {
    const { host, classId } = this.parts;
    const back = this.gate.open(code, { address, name: null, holder: holder?.id ?? null });
    const { desk, config } = host.services;
    return back === null ? groupsOf(classId, desk.state, config) : [];
  }

  /**
   * Makes someone who is in already a member of staff, by a one-time pass.
   * @throws {Refusal} codes "wait", "wrong-pass"
   */
  promote(holder: Asker, pass: string, address: string): Promise<Asker> {
    return this.inTurn(async () => {
      const { codes, host } = this.parts;
      const role = this.gate.roleFor(pass, { address, name: holder.name, holder: holder.id });
      const asker: Asker = { ...holder, role };
      codes.spend(pass);
      await host.welcome(asker, this.home);
      this.onPassUsed(asker);
      return asker;
    });
  }

  private inTurn<T>(act: () => Promise<T>): Promise<T> {
    const turn = this.line.then(act);
    this.line = turn.catch(() => {});
    return turn;
  }

  private async admit(form: JoinForm, address: string, holder: Asker | null): Promise<Asker> {
    const { codes, host } = this.parts;
    const name = cleanName(form.name);
    const caller: Caller = { address, name, holder: holder?.id ?? null };
    const backId = this.gate.open(form.code, caller);
    const passRole = form.pass === null ? null : this.gate.roleFor(form.pass, caller);
    this.refuseUnknownGroup(form.group);
    const asker = await this.personFor(name, form.code, backId, passRole, address, holder);
    if (form.pass !== null) codes.spend(form.pass);
    await host.welcome(asker, this.home);
    if (form.group !== null) await this.joinGroup(asker, form.group);
    if (passRole !== null) this.onPassUsed(asker);
    return asker;
  }

  private async personFor(
    name: string,
    code: string,
    backId: PersonId | null,
    passRole: StaffRole | null,
    address: string,
    holder: Asker | null,
  ): Promise<Asker> {
    if (holder !== null) {
      if (sameName(holder.name, name)) return { ...holder, role: passRole ?? holder.role };
      throw new Refusal(
        "already-in",
        `You are in as "${holder.name}" already: press Leave first, then come in under another name.`,
      );
    }
    if (backId !== null) return this.comeBack(backId, name, code, passRole);
    const { id, name: kept } = this.register.place(name, passRole);
    const isNew = !this.parts.host.services.desk.state.people.has(id);
    if (isNew && passRole === null) this.rationNewNames(addressKey(address));
    return { id, name: kept, classId: this.parts.classId, role: passRole ?? "student" };
  }

  /** Back under their own name: whatever browser was this person before is so no more. */
  private async comeBack(
    personId: PersonId,
    name: string,
    code: string,
    passRole: StaffRole | null,
  ): Promise<Asker> {
    const { tokens, codes, host } = this.parts;
    const person = tokens.person(personId);
    if (!person || !sameName(person.name, name)) {
      throw new Refusal(
        "other-name",
        "That code lets somebody else back in: type the name it was made for, or the class code.",
      );
    }
    codes.spend(code);
    await host.services.desk.act(() => [tokens.voiding(personId, "back")], { by: personId });
    return { ...person, role: passRole ?? person.role };
  }

  private rationNewNames(address: string): void {
    const { host, classId, real } = this.parts;
    const listed = host.services.config.classes.find(({ id }) => id === classId)?.students.length ?? 0;
    const atOnce = Math.max(LEAST_AT_ONCE, listed + SPARE_PLACES);
    const bucket = this.newNames.get(address) ?? new Bucket(real, atOnce, NAMES_PER_SECOND);
    this.newNames.set(address, bucket);
    if (this.newNames.size > MOST_ADDRESSES)
      this.newNames.delete(this.newNames.keys().next().value as string);
    if (bucket.take()) return;
    throw new Refusal("wait", `Many new names came from here just now. Try again in ${soon(bucket.wait)}.`);
  }

  private refuseUnknownGroup(group: string | null): void {
    const { host, classId } = this.parts;
    const { desk, config } = host.services;
    if (group === null || groupsOf(classId, desk.state, config).includes(group)) return;
    throw new Refusal(
      "unknown-group",
      `There is no group "${group.slice(0, 40)}": choose one from the list.`,
    );
  }

  private async joinGroup(asker: Asker, group: string): Promise<void> {
    await this.parts.host.services.desk.act(
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
