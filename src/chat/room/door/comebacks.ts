/** Codes that let one person back in under their own name, once: made by an instructor, told by word of mouth. */
import type { Clock } from "../../../base/clock.js";
import { MINUTE, type Millis, type UtcMillis } from "../../../base/units.js";
import type { PersonId } from "../../../queue/request.js";
import { makeCode, sameCode } from "./codes.js";

/** Real time in which a code must be used. */
export const COMEBACK_WITHIN: Millis = 30 * MINUTE;
/** Unused ones at a time: the oldest is void when another is made. */
const MOST_UNUSED = 40;

interface Comeback {
  readonly code: string;
  readonly personId: PersonId;
  readonly by: PersonId;
  readonly untilUnixMs: UtcMillis;
}

export class Comebacks {
  private unused: Comeback[] = [];

  constructor(private readonly real: Clock) {}

  /** A new code for a person; an earlier one for them is void. */
  make(personId: PersonId, by: PersonId): string {
    const code = makeCode(2);
    const others = this.unused.filter((each) => each.personId !== personId).slice(1 - MOST_UNUSED);
    this.unused = [...others, { code, personId, by, untilUnixMs: this.real.now() + COMEBACK_WITHIN }];
    return code;
  }

  /** Whom the code that was typed lets back in; null for nobody. All are compared, whichever fits. */
  personFor(typed: string): PersonId | null {
    let personId: PersonId | null = null;
    for (const each of this.unused) {
      if (sameCode(typed, each.code) && each.untilUnixMs > this.real.now()) personId = each.personId;
    }
    return personId;
  }

  /** Voids the code for a person: it has been used. */
  spend(personId: PersonId): void {
    this.unused = this.unused.filter((each) => each.personId !== personId);
  }

  /** Voids the codes that someone made. */
  voidBy(maker: PersonId): void {
    this.unused = this.unused.filter(({ by }) => by !== maker);
  }
}
