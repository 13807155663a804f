/** Who is asking and for which class, from what the platform says of an interaction. */
import type { APIInteraction, APIInteractionGuildMember, APIUser } from "discord.js";
import type { Asker } from "../../commands/command.js";
import { type Place, personIdOf, placeIn } from "./place.js";
import { roleOf } from "./roles.js";
import { cleanName } from "./text.js";

/** Someone in a class, with the place it meets in. */
export interface Present {
  readonly asker: Asker;
  readonly place: Place;
}

/** From an interaction in a server; null where no class is configured for it. */
export function presentIn(interaction: APIInteraction, places: readonly Place[]): Present | null {
  const { guild_id: guildId, member } = interaction;
  if (guildId === undefined || member === undefined) return null;
  const place = placeIn(places, guildId, interaction.channel?.id);
  if (!place) return null;
  return { asker: askerOf(member.user, member, member.permissions, place), place };
}

/** A member of a place's server as someone who asks. */
export function askerOf(
  user: APIUser,
  member: Pick<APIInteractionGuildMember, "nick" | "roles">,
  permissions: string,
  place: Place,
): Asker {
  return {
    id: personIdOf(user.id),
    name: cleanName(member.nick ?? user.global_name ?? user.username),
    classId: place.classId,
    role: roleOf({ roleIds: member.roles, permissions }, place),
  };
}

/** The account behind an interaction, wherever it was made. */
export function userOf(interaction: APIInteraction): APIUser | null {
  return interaction.member?.user ?? interaction.user ?? null;
}
