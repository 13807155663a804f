/** The way in: Discord as a surface, with every command of the one table. */
import { systemClock } from "../../base/clock.js";
import type { Log } from "../../base/log.js";
import { commandTable } from "../../commands/table.js";
import type { Config } from "../../config/config.js";
import type { Surface } from "../surface.js";
import { checkDiscord, type Finding } from "./check.js";
import { DiscordSurface } from "./discord-surface.js";

export interface DiscordOptions {
  readonly config: Config;
  /** From the environment; never printed, logged or stored. */
  readonly token: string;
  readonly log: Log;
  /** Tells the operator what to know or do; standard output unless given. */
  readonly say?: (line: string) => void;
}

/** The surface to start with the others and to give to the outbox. */
export function discordSurface(options: DiscordOptions): Surface {
  const say = (line: string): void => void process.stdout.write(`${line}\n`);
  return new DiscordSurface({ say, ...options, table: commandTable, realClock: systemClock() });
}

/** What `npm run check` says about Discord; `token` undefined when the environment has none. */
export function discordFindings(config: Config, token: string | undefined): Promise<Finding[]> {
  const filters = config.observatory.camera.filters.map((each) => each.name);
  return checkDiscord({ config, token, source: { table: commandTable, filters } });
}
