/** The places where people talk: which there are, which are wanted, and what is looked over before a class. */
import type { Log } from "../base/log.js";
import { discordVenue } from "../chat/discord/hear/place.js";
import type { SetUpCheck, Surface } from "../chat/surface.js";
import { TERMINAL, TerminalSurface } from "../chat/terminal/surface.js";
import type { Config } from "../config/config.js";
import { findMember, type Member } from "../config/members.js";
import { Venues } from "../notices/venues.js";
import type { Arguments } from "./arguments.js";

/** What the surfaces say of themselves under this configuration. */
export function venuesOf(config: Config): Venues {
  return new Venues([discordVenue(config)]);
}

/** Every surface's part of `npm run check`. */
export async function checkSurfaces(config: Config): Promise<SetUpCheck> {
  const { checkSetUp } = await import("../chat/discord/set-up/check.js");
  return checkSetUp(config, process.env.DISCORD_TOKEN);
}

/** What is not wanted is not even loaded: start-up counts. */
export async function openSurfaces(
  args: Pick<Arguments, "terminal" | "room" | "lan">,
  config: Config,
  member: Member,
  log: Log,
  onLeave: () => void,
): Promise<Surface[]> {
  const surfaces: Surface[] = [];
  const token = process.env.DISCORD_TOKEN;
  if (token) {
    const { discordSurface } = await import("../chat/discord/surface.js");
    surfaces.push(discordSurface({ config, token, log }));
  }
  const terminal = args.terminal ? terminalFor(config, member, onLeave) : null;
  if (args.room && config.room.enabled) {
    const { RoomSurface } = await import("../chat/room/surface.js");
    const print = (text: string): void => (terminal ? terminal.print(text) : say(text));
    surfaces.push(new RoomSurface({ config, lan: args.lan, print, colours: process.stdout.isTTY === true }));
  }
  if (args.lan && !surfaces.some(({ name }) => name === "room")) {
    say("--lan has no effect: the room is off, by --no-room or by room.enabled in the configuration.");
  }
  if (terminal) surfaces.push(terminal);
  return surfaces;
}

function terminalFor(config: Config, member: Member, onLeave: () => void): TerminalSurface {
  return new TerminalSurface({
    input: process.stdin,
    output: process.stdout,
    interactive: process.stdin.isTTY === true && process.stdout.isTTY === true,
    timeZone: config.observatory.site.timeZone,
    asker: member,
    findAsker: (who) => findMember(config, TERMINAL, who),
    onLeave,
  });
}

function say(text: string): void {
  process.stdout.write(`${text}\n`);
}
