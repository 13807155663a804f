/** Whose a name is: a listed member's, somebody's who is in already, or a newcomer's. */
import { Refusal } from "../../../base/refusal.js";
import { accountOf, classOf } from "../../../commands/people/people.js";
import type { TeachingClass } from "../../../config/config.js";
import { NAME_OF_FORGOTTEN } from "../../../journal/fold-people.js";
import { membersIn } from "../../../journal/membership.js";
import type { PersonId, Role } from "../../../queue/request.js";
import type { SurfaceHost } from "../../surface.js";
import type { StaffRole } from "./codes.js";
import { memberSeenIn, refuseKept } from "./kept-names.js";
import { sameName } from "./look-alikes.js";
import { slugOf } from "./names.js";

const OURS = "room:";

/** Who somebody with a name is. */
export interface Known {
  readonly id: PersonId;
  readonly name: string;
}

/** People who came in here, as they are known by the class; not those who were forgotten. */
export function peopleOfRoom({ services }: SurfaceHost, classId: string) {
  return membersIn(services.desk.state, classId).filter(
    ({ id, name }) => id.startsWith(OURS) && name !== NAME_OF_FORGOTTEN,
  );
}

export class Register {
  constructor(
    private readonly host: SurfaceHost,
    private readonly classId: string,
  ) {}

  /**
   * The person that goes with a name. A valid staff pass brings staff back under theirs.
   * @throws {Refusal} codes "name-taken", "bad-name"
   */
  place(name: string, passRole: StaffRole | null): Known {
    const student = this.listed.students.find((each) => sameName(each.name, name));
    const staff = student ? null : this.listedStaff(name, passRole);
    if (staff) return { id: this.idFor(staff.id, true), name: staff.name };
    if (!student) refuseKept(name, passRole !== null);
    const there = this.personCalled(name);
    if (there) {
      if (passRole !== null && there.id.startsWith(OURS) && covers(passRole, there.role)) return there;
      throw taken(name, there.id);
    }
    if (student) this.refuseInvented(name);
    return { id: this.idFor(student?.id ?? slugOf(name), student !== undefined), name };
  }

  /** The listed member of staff whom a reader would see in the name; it takes a pass to be them. */
  private listedStaff(name: string, passRole: StaffRole | null): Known | null {
    const { instructors, operators } = this.listed;
    const member = memberSeenIn(name, [...instructors, ...operators]);
    if (!member) return null;
    if (passRole === null)
      throw new Refusal("name-taken", `"${name}" is a staff name. Type your own, or add your pass below.`);
    if (instructors.includes(member) && passRole !== "instructor")
      throw new Refusal("name-taken", `"${name}" needs an instructor's pass: that one is an operator's.`);
    return member;
  }

  private refuseInvented(name: string): void {
    if (!this.host.services.telescope().traits.inventedClass) return;
    throw new Refusal(
      "name-taken",
      `"${name}" is one of tonight's invented classmates: add a letter or type another name.`,
    );
  }

  private personCalled(name: string) {
    const { state } = this.host.services.desk;
    return membersIn(state, this.classId).find(
      (each) => each.name !== NAME_OF_FORGOTTEN && sameName(each.name, name),
    );
  }

  /** An id that is free, or this listed member's own; a newcomer's never has a listed member's account. */
  private idFor(account: string, isListed: boolean): PersonId {
    const { people } = this.host.services.desk.state;
    const { students, instructors, operators } = this.listed;
    const reserved = new Set([...students, ...instructors, ...operators].map(({ id }) => id));
    for (let number = 1; ; number++) {
      const id = `${OURS}${account}${number === 1 ? "" : `-${number}`}`;
      const there = people.get(id);
      const isFree = !there && (isListed || !reserved.has(accountOf(id)));
      if (isFree || (isListed && there && there.name !== NAME_OF_FORGOTTEN)) return id;
    }
  }

  private get listed(): Pick<TeachingClass, "students" | "instructors" | "operators"> {
    const none = { students: [], instructors: [], operators: [] };
    return classOf(this.host.services.config, this.classId) ?? none;
  }
}

/** Whether a pass is proof enough to be someone of this role: students have none. */
function covers(pass: StaffRole, role: Role): boolean {
  return role === "operator" || (role === "instructor" && pass === "instructor");
}

function taken(name: string, holder: PersonId): Refusal {
  const another = "add a letter or your second name";
  return new Refusal(
    "name-taken",
    holder.startsWith(OURS)
      ? `Someone is here as "${name}" already: ${another}. Was it you? Ask your instructor to let you back in.`
      : `Someone of your class is "${name}" elsewhere already: ${another}.`,
  );
}
