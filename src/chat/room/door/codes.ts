/** Codes that people type: made to be read aloud, compared in constant time; some are good for one use. */
import { createHash, randomInt, timingSafeEqual } from "node:crypto";
import type { Clock } from "../../../base/clock.js";
import { MINUTE, type Millis, type UtcMillis } from "../../../base/units.js";
import type { PersonId, Role } from "../../../queue/request.js";

/** No letter or digit that is easily taken for another (I, L, O, U, 0, 1). */
const LETTERS = "ABCDEFGHJKMNPQRSTVWXYZ23456789";
/** Real time in which a code to come back must be used. */
export const COMEBACK_WITHIN: Millis = 30 * MINUTE;

export type StaffRole = Exclude<Role, "student">;

/** A pass makes whoever uses it staff; the other kind lets one person back in under their own name. */
type Opens = { readonly role: StaffRole } | { readonly personId: PersonId };
type Unused = Opens & {
  readonly code: string;
  /** null for the program itself, which prints it. */
  readonly by: PersonId | null;
  readonly untilUnixMs: UtcMillis;
};

/** Unused ones of a kind at a time: the oldest is void when another is made. */
const MOST_PASSES = 10;
const MOST_COMEBACKS = 40;

/** Codes good for one use, told by word of mouth. */
export class OneTimeCodes {
  private passes: Extract<Unused, { role: StaffRole }>[] = [];
  private comebacks: Extract<Unused, { personId: PersonId }>[] = [];

  constructor(private readonly real: Clock) {}

  /** A new pass for the role. */
  makePass(role: StaffRole, by: PersonId | null): string {
    const code = makeCode(3);
    this.passes = [...this.passes.slice(1 - MOST_PASSES), { code, role, by, untilUnixMs: Infinity }];
    return code;
  }

  /** A new code for a person to come back with; an earlier one for them is void. */
  makeComeback(personId: PersonId, by: PersonId): string {
    const code = makeCode(2);
    const others = this.comebacks.filter((each) => each.personId !== personId).slice(1 - MOST_COMEBACKS);
    this.comebacks = [...others, { code, personId, by, untilUnixMs: this.real.now() + COMEBACK_WITHIN }];
    return code;
  }

  /** The role that what was typed gives; null for none. */
  roleFor(typed: string): StaffRole | null {
    return this.find(this.passes, typed)?.role ?? null;
  }

  /** Whom what was typed lets back in; null for nobody. */
  personFor(typed: string): PersonId | null {
    return this.find(this.comebacks, typed)?.personId ?? null;
  }

  /** Voids a code that has been used. */
  spend(typed: string): void {
    this.keep(({ code }) => !sameCode(typed, code));
  }

  /** Voids the unused codes that someone made. */
  voidBy(maker: PersonId): void {
    this.keep(({ by }) => by !== maker);
  }

  /** All are compared, whichever fits. */
  private find<Code extends Unused>(codes: readonly Code[], typed: string): Code | null {
    const fits = codes.filter(({ code }) => sameCode(typed, code));
    return fits.find(({ untilUnixMs }) => untilUnixMs > this.real.now()) ?? null;
  }

  private keep(isKept: (code: Unused) => boolean): void {
    this.passes = this.passes.filter(isKept);
    this.comebacks = this.comebacks.filter(isKept);
  }
}

/** A random code such as "K7MQ-4XRT": `groups` groups of four, 4.9 bits a letter. */
export function makeCode(groups: number): string {
  const group = (): string =>
    Array.from({ length: 4 }, () => LETTERS.charAt(randomInt(LETTERS.length))).join("");
  return Array.from({ length: groups }, group).join("-");
}

/** Whether what was typed is the code: case, spaces and dashes don't count; takes equally long whatever differs. */
export function sameCode(typed: string, code: string): boolean {
  return timingSafeEqual(digest(plain(typed)), digest(plain(code)));
}

function plain(code: string): string {
  return code.replace(/[\s-]/g, "").toUpperCase();
}

function digest(text: string): Buffer {
  return createHash("sha256").update(text).digest();
}
