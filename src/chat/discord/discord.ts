/** The way in: Discord as a surface, with every command of the one table. */
import { systemClock } from "../../base/clock.js";
import type { Log } from "../../base/log.js";
import { commandTable } from "../../commands/table.js";
import type { Config } from "../../config/config.js";
import type { Surface } from "../surface.js";
import { DiscordSurface } from "./discord-surface.js";
import { checkDiscord, findingLines } from "./set-up/check.js";

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
  const token = options.token.trim();
  return new DiscordSurface({ say, ...options, token, table: commandTable, realClock: systemClock() });
}

/** What `npm run check` says about Discord. */
export interface CheckOutcome {
  /** One line for each thing looked at, to print as it is. */
  readonly lines: readonly string[];
  readonly ok: boolean;
}

/** Looks over token, servers, channels, permissions, roles and commands; `token` undefined when there is none. */
export async function checkDiscordSetUp(config: Config, token: string | undefined): Promise<CheckOutcome> {
  const filters = config.observatory.camera.filters.map((each) => each.name);
  const findings = await checkDiscord({ config, token, source: { table: commandTable, filters } });
  return { lines: findingLines(findings), ok: findings.every((each) => each.is !== "wrong") };
}
