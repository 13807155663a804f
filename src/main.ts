/** Starts Nightslate: reads the command line and the configuration, then wires the parts. */
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { openLog } from "./base/log.js";
import { Refusal } from "./base/refusal.js";
import type { Surface } from "./chat/surface.js";
import { TERMINAL, TerminalSurface } from "./chat/terminal/surface.js";
import type { Config } from "./config/config.js";
import { loadConfig } from "./config/load.js";
import { type Arguments, readArguments, USAGE } from "./wiring/arguments.js";
import { bannerText } from "./wiring/banner.js";
import { findMember } from "./wiring/members.js";
import { startPractice } from "./wiring/practice.js";
import { type Running, start } from "./wiring/start.js";

const EXAMPLE = fileURLToPath(new URL("../config/tern-hollow.yaml", import.meta.url));

async function main(): Promise<void> {
  const args = readArguments(process.argv.slice(2), EXAMPLE);
  if (args.help) return say(USAGE);
  const config = loadConfig(args.config);
  const folder = args.data ?? config.dataFolder;
  const log = openLog(join(folder, "nightslate.log"));
  const member = findMember(config, TERMINAL, args.as);
  const practice = startPractice(config, folder);
  const speed = args.speed ?? config.telescope.practice.speed;

  let running: Running | null = null;
  let leaving = false;
  const leave = async (): Promise<void> => {
    if (leaving) return;
    leaving = true;
    await running?.stop();
    await practice.stop();
    process.exit(0);
  };
  process.once("SIGINT", () => void leave());
  process.once("SIGTERM", () => void leave());

  running = await start({
    config,
    folder,
    log,
    speed,
    link: (_services, clock) => practice.link(clock),
    surfaces: (services) => {
      if (args.terminal) say(bannerText(config, member, speed, services.clock.now()));
      return surfacesFor(args, config, () => void leave());
    },
  });
  practice.begin(running, member.id);
}

function surfacesFor(args: Arguments, config: Config, onLeave: () => void): Surface[] {
  if (!args.terminal) return [];
  return [
    new TerminalSurface({
      input: process.stdin,
      output: process.stdout,
      interactive: process.stdin.isTTY === true && process.stdout.isTTY === true,
      timeZone: config.observatory.site.timeZone,
      asker: findMember(config, TERMINAL, args.as),
      findAsker: (who) => findMember(config, TERMINAL, who),
      onLeave,
    }),
  ];
}

function say(text: string): void {
  process.stdout.write(`${text}\n`);
}

main().catch((error: unknown) => {
  const known = error instanceof Refusal;
  process.stderr.write(
    `${known ? error.message : `Nightslate could not start: ${(error as Error).message}`}\n`,
  );
  process.exit(1);
});
