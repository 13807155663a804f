/** Where a class meets: one channel of one server, with its roles, as configured. */
import type { Config } from "../../config/config.js";
import type { Address, PersonId } from "../../queue/request.js";

/** Name of this surface in addresses and person ids. */
export const DISCORD = "discord";

/** One class's server and channel. */
export type Place = Config["discord"]["guilds"][number];

/** The class channel: home of everyone in the class. */
export function homeOf(place: Place): Address {
  return { surface: DISCORD, channel: place.channelId };
}

/** The place of something said in a server: its own channel's class, else the server's first. */
export function placeIn(places: readonly Place[], guildId: string, channelId?: string): Place | null {
  const here = places.filter((each) => each.guildId === guildId);
  return here.find((each) => each.channelId === channelId) ?? here[0] ?? null;
}

/** The place whose class channel this is; null for a channel that is no longer configured. */
export function placeOfChannel(places: readonly Place[], channelId: string): Place | null {
  return places.find((each) => each.channelId === channelId) ?? null;
}

export function personIdOf(userId: string): PersonId {
  return `${DISCORD}:${userId}`;
}

/** The account behind a person id; null for someone of another surface. */
export function userIdOf(personId: PersonId): string | null {
  return /^discord:(\d{15,22})$/.exec(personId)?.[1] ?? null;
}
