/** Said in a channel that is no class's, or another class's: where to type it, as channels that can be pressed. */
import { MessageFlags } from "discord.js";
import { Refusal } from "../../../base/refusal.js";
import { NOBODY_MENTIONED, type Outgoing } from "../deliver/outgoing.js";
import type { Place } from "./place.js";

/** A refusal whose sentence names channels; everything else in a message is escaped. */
export class WrongPlace extends Refusal {
  private constructor(
    code: string,
    readonly markup: string,
  ) {
    super(code, markup);
  }

  /** Several classes meet in the server, and the person may be of any of these. */
  static unclear(places: readonly Place[]): WrongPlace {
    const channels = [...new Set(places.map(channelOf))];
    const last = channels.pop() ?? "";
    const all = channels.length > 0 ? `${channels.join(", ")} or ${last}` : last;
    return new WrongPlace("which-class", `Type this in ${all}, so that I know your class.`);
  }

  /** It is about something of their own class, which meets there. */
  static elsewhere(place: Place): WrongPlace {
    return new WrongPlace("other-channel", `Type this in ${channelOf(place)}, your class's channel.`);
  }

  /** The answer, for the asker alone. */
  outgoing(): Outgoing {
    return {
      content: `✗ **Not done**\n${this.markup}`,
      embeds: [],
      components: [],
      allowed_mentions: NOBODY_MENTIONED,
      flags: MessageFlags.Ephemeral,
      files: [],
    };
  }
}

function channelOf({ channelId }: Place): string {
  return `<#${channelId}>`;
}
