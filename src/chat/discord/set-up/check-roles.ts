/** Looks over the roles that a class's configuration names. */
import type { APIGuild } from "discord.js";
import { allows } from "../hear/member-roles.js";
import type { Place } from "../hear/place.js";
import { type Finding, note, right, wrong } from "./finding.js";
import { guildPermissions } from "./permissions.js";

/** One finding for each role named, and one where nobody, or whoever holds a permission, is an instructor. */
export function checkRoles(place: Place, guild: APIGuild): Finding[] {
  const kinds = [
    ["instructorRoleIds", place.instructorRoleIds],
    ["operatorRoleIds", place.operatorRoleIds],
  ] as const;
  const findings = kinds.flatMap(([key, ids]) => ids.map((id) => checkRole(place, guild, key, id)));
  if (place.instructorRoleIds.length === 0 && place.instructorPermission === null)
    findings.push(
      wrong(
        `${guild.name}: nobody can be an instructor: name a role in discord.guilds → instructorRoleIds, or set instructorPermission.`,
      ),
    );
  else if (place.instructorRoleIds.length === 0)
    findings.push(
      note(`${guild.name}: instructors are those with the permission ${place.instructorPermission}.`),
    );
  return findings;
}

function checkRole(
  place: Place,
  guild: APIGuild,
  key: "instructorRoleIds" | "operatorRoleIds",
  id: string,
): Finding {
  const staff = key === "instructorRoleIds" ? "an instructor" : "an operator";
  if (id === guild.id)
    return wrong(
      `${guild.name}: @everyone cannot be ${staff} role: in Server Settings → Roles make a role for staff alone, choose its ⋯ → Copy Role ID, and put that into discord.guilds → ${key}.`,
    );
  const role = guild.roles.find((each) => each.id === id);
  if (!role)
    return wrong(
      `${guild.name} has no role ${id}: in Server Settings → Roles choose the role's ⋯ → Copy Role ID, and put that into discord.guilds → ${key}.`,
    );
  const held = guildPermissions(guild.id, guild.roles, [id]).toString();
  if (allows(held, place.staffPermission)) return right(`The role ${role.name} sees the staff commands.`);
  return wrong(
    `The role ${role.name} would not see the staff commands: in Server Settings → Roles → ${role.name} → Permissions turn on ${spaced(place.staffPermission)}, or allow the commands for it in Server Settings → Integrations → Nightslate.`,
  );
}

/** "ManageMessages" as the settings write it: "Manage Messages". */
function spaced(permission: string): string {
  return permission === "ManageGuild" ? "Manage Server" : permission.replaceAll(/(?<=[a-z])(?=[A-Z])/g, " ");
}
