/**
 * Which codes open the door, and how guessing them is kept hopeless without shutting out a class that shares
 * one address.
 *
 * Codes that the program makes are random over 30 letters: a class code or a code to come back has 30⁸ = 6.6e11
 * values, a pass 30¹² = 5.3e17. The server answers one address at most 12,000 times a minute, at which pace the
 * class code is found after 52 years on average, and one of 40 codes to come back, each good for half an hour,
 * after more than a year. So the right one is let through at any time: no pupil's wrong codes can shut it out.
 *
 * A class code from the configuration may be a word. For it, an address has 20 wrong tries, then waits
 * between two tries, up to 30 s: at most 2,880 a day, so that six random letters and digits last for 1,000 years
 * and one of 200,000 words with a digit for a month; and someone else behind that address waits half a minute.
 * One name at one address has 6, then waits up to a minute: who tries that name elsewhere is not held up.
 */
import type { Clock } from "../../../base/clock.js";
import { Refusal } from "../../../base/refusal.js";
import { MINUTE, type Millis, SECOND } from "../../../base/units.js";
import type { PersonId } from "../../../queue/request.js";
import { Attempts, addressKey, soon } from "./attempts.js";
import { type OneTimeCodes, type StaffRole, sameCode } from "./codes.js";
import { bareName } from "./look-alikes.js";

const FREE_FOR_ADDRESS = 20;
const LONGEST_FOR_ADDRESS: Millis = 30 * SECOND;
const FREE_FOR_NAME = 6;
const LONGEST_FOR_NAME: Millis = MINUTE;

export interface GateParts {
  readonly code: string;
  /** Made by the program at its start, so long and random. */
  readonly codeIsRandom: boolean;
  readonly codes: OneTimeCodes;
  /** Real time. */
  readonly real: Clock;
}

/** Who tries a code. */
export interface Caller {
  readonly address: string;
  readonly name: string | null;
  /** The person a browser's token names: someone who is in already is no stranger who guesses. */
  readonly holder: PersonId | null;
}

export class Gate {
  private readonly byAddress: Attempts;
  private readonly byName: Attempts;

  constructor(private readonly parts: GateParts) {
    this.byAddress = new Attempts(parts.real, FREE_FOR_ADDRESS, LONGEST_FOR_ADDRESS);
    this.byName = new Attempts(parts.real, FREE_FOR_NAME, LONGEST_FOR_NAME);
  }

  /**
   * Whom a code lets back in, or null for the class code, which lets anyone in.
   * @throws {Refusal} codes "wait", "wrong-code"
   */
  open(typed: string, caller: Caller): PersonId | null {
    const { code, codeIsRandom, codes } = this.parts;
    const isClassCode = sameCode(typed, code);
    const personId = codes.personFor(typed);
    if (personId !== null) return personId;
    if (isClassCode && codeIsRandom) return null;
    // Someone who is in has nothing to guess.
    if (caller.holder === null) this.refuseTooSoon(caller);
    if (isClassCode) return null;
    if (caller.holder === null) this.noteWrong(caller);
    throw new Refusal("wrong-code", "That is not the class code. Ask your instructor.");
  }

  /**
   * The role that a pass gives.
   * @throws {Refusal} codes "wait", "wrong-pass"
   */
  roleFor(pass: string, caller: Caller): StaffRole {
    const role = this.parts.codes.roleFor(pass);
    if (role !== null) return role;
    this.refuseTooSoon(caller);
    this.noteWrong(caller);
    throw new Refusal(
      "wrong-pass",
      caller.holder === null
        ? "That pass is not valid, or has been used: each works once. Clear it to come in as a student."
        : "That pass is not valid, or has been used: each works once. Ask an instructor for a new one.",
    );
  }

  private refuseTooSoon(caller: Caller): void {
    const wait = Math.max(...this.countedUnder(caller).map(([counts, key]) => counts.waitFor(key)));
    if (wait === 0) return;
    throw new Refusal(
      "wait",
      `Too many wrong codes from here. Try again in ${soon(wait)}, with the code from your instructor.`,
    );
  }

  private noteWrong(caller: Caller): void {
    for (const [counts, key] of this.countedUnder(caller)) counts.failed(key);
  }

  private countedUnder({ address, name, holder }: Caller): (readonly [Attempts, string])[] {
    if (holder !== null) return [[this.byName, holder]];
    const from = addressKey(address);
    const ofAddress = [this.byAddress, from] as const;
    return name === null ? [ofAddress] : [ofAddress, [this.byName, `${from} ${bareName(name)}`]];
  }
}
