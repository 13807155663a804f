/** Who may use which command. */

import { Refusal } from "../../base/refusal.js";
import type { Role } from "../../queue/request.js";
import type { Asker, CommandSpec } from "../command.js";

const RANK: Record<Role, number> = { student: 0, operator: 1, instructor: 2 };

/** Instructors may use everything, operators everything but what is the instructors'. */
export function mayUse(role: Role, command: Pick<CommandSpec, "who">): boolean {
  return RANK[role] >= RANK[command.who];
}

/** @throws {Refusal} code "not-allowed", with what the asker can do instead */
export function refuseRole(command: CommandSpec, asker: Asker): void {
  if (mayUse(asker.role, command)) return;
  const who = command.who === "instructor" ? "an instructor" : "an operator or an instructor";
  const otherwise = command.otherwise ?? "Type /help to see what you can do.";
  throw new Refusal("not-allowed", `Only ${who} can use /${command.name}. ${otherwise}`);
}
