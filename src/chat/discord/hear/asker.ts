/** Who is asking and for which class, from what the platform says of an interaction. */
import type { APIInteraction, APIInteractionGuildMember, APIUser } from "discord.js";
import type { Asker } from "../../../commands/command.js";
import { classesOf } from "../../../journal/membership.js";
import type { State } from "../../../journal/state.js";
import { cleanName } from "../text.js";
import { roleOf } from "./member-roles.js";
import { type Place, personIdOf, placeIn } from "./place.js";
import { WrongPlace } from "./wrong-place.js";

/** Someone in a class, with the place it meets in. */
export interface Present {
  readonly asker: Asker;
  readonly place: Place;
}

/**
 * From an interaction in a server; null where no class is configured for it.
 * @throws {WrongPlace} where the server has several classes and it is not clear which is meant
 */
export function presentIn(
  interaction: APIInteraction,
  places: readonly Place[],
  state: Pick<State, "people">,
): Present | null {
  const { guild_id: guildId, member } = interaction;
  if (guildId === undefined || member === undefined) return null;
  const here = places.filter((each) => each.guildId === guildId);
  if (here.length === 0) return null;
  const classIds = classesOf(state, personIdOf(member.user.id));
  const place = placeIn(here, interaction.channel, classIds);
  if (!place) throw WrongPlace.unclear(here);
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
