/** Where a class meets: one channel of one server, with its roles, as configured. */
import type { Config } from "../../../config/config.js";
import type { Venue } from "../../../notices/venues.js";
import type { Address, PersonId } from "../../../queue/request.js";

/** Name of this surface in addresses and person ids. */
export const DISCORD = "discord";

/** One class's server and channel. */
export type Place = Config["discord"]["guilds"][number];

/** The class channel: home of everyone in the class. */
export function homeOf(place: Place): Address {
  return { surface: DISCORD, channel: place.channelId };
}

/** Where something was said: a channel, or a thread of it. */
export interface Spot {
  readonly id: string;
  readonly parent_id?: string | null;
}

/**
 * The place of something said in a server: that of the channel, of the channel whose thread it is, or else the
 * only one of the classes that the person is in, or of the server.
 * @param here the places of that server
 * @param classIds the classes the person has been in
 * @returns null where more than one is possible, or there is none
 */
export function placeIn(
  here: readonly Place[],
  spot: Spot | undefined,
  classIds: readonly string[],
): Place | null {
  const ofChannel = (id: string | null | undefined): Place | undefined =>
    here.find((each) => each.channelId === id);
  const said = ofChannel(spot?.id) ?? ofChannel(spot?.parent_id);
  if (said) return said;
  const own = here.filter((each) => classIds.includes(each.classId));
  const possible = own.length > 0 ? own : here;
  return possible.length === 1 ? (possible[0] as Place) : null;
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

/** Whether a text is an account's number. */
export const isAccount = (text: string): boolean => /^\d{15,22}$/.test(text);

/** What Discord says of itself, connected or not; nothing here loads the client. */
export function discordVenue({ discord }: Pick<Config, "discord">): Venue {
  return {
    surface: DISCORD,
    hasChannels: true,
    channelsOf: (classId) =>
      discord.guilds.filter((each) => each.classId === classId).map(({ channelId }) => channelId),
    isAccount,
    mentioned: (typed) => /^<@!?(\d{15,22})>$/.exec(typed.trim())?.[1] ?? null,
  };
}
