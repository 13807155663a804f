/** Which role a member has here, by the server's roles and permissions as configured. */

import { PermissionsBitField, type PermissionsString } from "discord.js";
import type { Role } from "../../../queue/request.js";
import type { Place } from "./place.js";

/** What the platform says of a member: never what the member typed. */
export interface MemberRights {
  readonly roleIds: readonly string[];
  /** Permissions as a bit field in decimal. */
  readonly permissions: string;
}

/** Instructor before operator before student. Administrators hold every permission. */
export function roleOf(rights: MemberRights, place: Place): Role {
  const holds = (ids: readonly string[]): boolean => ids.some((id) => rights.roleIds.includes(id));
  const { instructorPermission } = place;
  if (holds(place.instructorRoleIds)) return "instructor";
  if (instructorPermission !== null && allows(rights.permissions, instructorPermission)) return "instructor";
  return holds(place.operatorRoleIds) ? "operator" : "student";
}

/** Whether a bit field holds a permission. */
export function allows(permissions: string, name: PermissionsString): boolean {
  return new PermissionsBitField(BigInt(permissions)).has(name);
}

/** The bit of a permission in decimal, as the API writes it. */
export function permissionBit(name: PermissionsString): string {
  return PermissionsBitField.Flags[name].toString();
}
