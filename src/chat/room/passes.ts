/** One-time passes for staff: each makes one person an instructor or operator, then is void. */
import type { Role } from "../../journal/events.js";
import { makeCode, sameCode } from "./codes.js";

export type StaffRole = Exclude<Role, "student">;

/** At most so many unused passes: the oldest is void when another is made. */
const MOST_UNUSED = 10;

export class Passes {
  private readonly unused: { readonly pass: string; readonly role: StaffRole }[] = [];

  /** A new pass for the role. */
  make(role: StaffRole): string {
    const pass = makeCode(3);
    this.unused.push({ pass, role });
    if (this.unused.length > MOST_UNUSED) this.unused.shift();
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
    const index = this.unused.findIndex((each) => sameCode(typed, each.pass));
    if (index >= 0) this.unused.splice(index, 1);
  }
}
