/** Where a class meets by the configuration, and who the class list means there. */
import type { Address } from "../queue/request.js";
import type { Config } from "./config.js";

/** Name of the surface that `discord` in the configuration is about. */
export const DISCORD = "discord";

/** The channels that the configuration gives a class, whether or not anyone has spoken there. */
export function meetingPlaces(config: Config, classId: string): Address[] {
  return config.discord.guilds
    .filter((each) => each.classId === classId)
    .map(({ channelId }) => ({ surface: DISCORD, channel: channelId }));
}

/** Where something for a class goes today: where it was addressed to, unless the class has moved since. */
export function presentPlace(config: Config, classId: string, address: Address): Address {
  if (address.surface !== DISCORD) return address;
  const places = meetingPlaces(config, classId);
  const stays = places.some((each) => each.channel === address.channel);
  return stays ? address : (places[0] ?? address);
}

/** Whether an id of the class list can be somebody's account on a surface: on Discord only an account's number is. */
export function isAccount(surface: string, id: string): boolean {
  return surface !== DISCORD || /^\d{15,22}$/.test(id);
}
