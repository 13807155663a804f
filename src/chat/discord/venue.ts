/** What Discord says of itself while nobody is connected; nothing here loads the client. */
import type { Config } from "../../config/config.js";
import type { Venue } from "../../notices/venues.js";
import { DISCORD } from "./hear/place.js";

/** An account's number. */
export const ACCOUNT = /^\d{15,22}$/;

/** The servers and channels of a configuration. */
export function discordVenue(config: Pick<Config, "discord">): Venue {
  const { guilds } = config.discord;
  return {
    surface: DISCORD,
    hasChannels: true,
    channelsOf: (classId) =>
      guilds.filter((each) => each.classId === classId).map(({ channelId }) => channelId),
    isAccount: (id) => ACCOUNT.test(id),
    mentioned: (typed) => /^<@!?(\d{15,22})>$/.exec(typed.trim())?.[1] ?? null,
  };
}
