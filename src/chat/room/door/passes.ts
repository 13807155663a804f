/** One-time passes for staff: each makes one person an instructor or operator, then is void. */
import type { PersonId, Role } from "../../../queue/request.js";
import { makeCode, sameCode } from "./codes.js";

export type StaffRole = Exclude<Role, "student">;

/** At most so many unused passes: the oldest is void when another is made. */
const MOST_UNUSED = 10;

interface Pass {
  readonly pass: string;
  readonly role: StaffRole;
  /** null for the program itself, which prints it. */
  readonly by: PersonId | null;
}

export class Passes {
  private unused: Pass[] = [];

  /** A new pass for the role. */
  make(role: StaffRole, by: PersonId | null): string {
    const pass = makeCode(3);
    this.unused = [...this.unused.slice(1 - MOST_UNUSED), { pass, role, by }];
    return pass;
  }

  /** The role that what was typed gives; null for none. All are compared, whichever fits. */
  roleFor(typed: string): StaffRole | null {
    let role: StaffRole | null = null;
    for (const each of this.unused) if (sameCode(typed, each.pass)) role = each.role;
    return role;
  }

  /** Voids a pass that has been used. */
  spend(typed: string): void {
    this.unused = this.unused.filter((each) => !sameCode(typed, each.pass));
  }

  /** Voids the unused passes that someone made. */
  voidBy(maker: PersonId): void {
    this.unused = this.unused.filter(({ by }) => by !== maker);
  }
}
