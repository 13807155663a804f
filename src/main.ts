/** Starts Nightslate: reads the command line and the configuration, then wires the parts. */
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { openLog } from "./base/log.js";
import { Refusal } from "./base/refusal.js";
import type { Surface } from "./chat/surface.js";
import { TERMINAL, TerminalSurface } from "./chat/terminal/surface.js";
import { doubtsOf } from "./config/doubts.js";
import { loadConfig } from "./config/load.js";
import { findMember, firstMember } from "./config/members.js";
import { prepareFolder } from "./journal/data-folder.js";
import { readArguments, USAGE } from "./wiring/arguments.js";
import { start } from "./wiring/start.js";
import { openSurfaces } from "./wiring/surfaces.js";
import { telescopeOf } from "./wiring/telescopes.js";
import { bannerText } from "./wiring/welcome.js";

const EXAMPLE = fileURLToPath(new URL("../config/tern-hollow.yaml", import.meta.url));

async function main(): Promise<void> {
  const args = readArguments(process.argv.slice(2), EXAMPLE);
  if (args.help) return say(USAGE);
  const config = loadConfig(args.config);
  for (const doubt of doubtsOf(config)) process.stderr.write(`${doubt}\n`);
  const folder = args.data ?? config.dataFolder;
  prepareFolder(folder);
  const log = openLog(join(folder, "nightslate.log"));
  const member = args.as === null ? firstMember(config, TERMINAL) : findMember(config, TERMINAL, args.as);
  const telescope = await telescopeOf(config, folder, args.speed);
  const { leave, whileLeaving } = leaving();
  const surfaces = await openSurfaces(args, config, member, log, leave);

  const running = await start({
    config,
    folder,
    log,
    telescope,
    tellOperator: (text) => tellOperator(text, surfaces),
    // Whoever restarts it makes it a standby of the one that took over.
    deposed: (sentence) => {
      tellOperator(sentence, surfaces);
      leave(1);
    },
    ...(args.standby && {
      standby: (who) =>
        process.stderr.write(`${who}. This one stands by and takes over when that one ends.\n`),
    }),
    surfaces: (services) => {
      for (const report of services.desk.reports ?? []) process.stderr.write(`${report}\n`);
      if (args.terminal) say(bannerText(services, member));
      return surfaces;
    },
  });
  const { clock, host, services } = running;
  const { desk, catalogue } = services;
  const end = telescope.begin({ clock, catalogue, run: host.run, state: () => desk.state }, member.id);
  const stop = async (): Promise<void> => {
    end();
    await running.stop();
  };
  whileLeaving(stop);
  await running.connected.catch(async (error: unknown) => {
    await stop();
    throw error;
  });
}

/** Ends the program in order on Ctrl-C, SIGTERM, /quit or a closed window, once, whatever has been started by then. */
function leaving(): { leave: (code?: number) => void; whileLeaving: (stop: () => Promise<void>) => void } {
  let stop = async (): Promise<void> => {};
  let begun = false;
  const leave = (code = 0): void => {
    if (begun) return;
    begun = true;
    stop().then(
      () => process.exit(code),
      () => process.exit(1),
    );
  };
  process.once("SIGINT", () => leave());
  process.once("SIGTERM", () => leave());
  // Whoever read the output has gone, a closed window or pipe: as good as leaving.
  process.stdout.on("error", () => leave());
  return {
    leave,
    whileLeaving: (given) => {
      stop = given;
    },
  };
}

/** In the terminal without disturbing what is being typed; where there is none, on standard error. */
function tellOperator(text: string, surfaces: readonly Surface[]): void {
  const terminal = surfaces.find((each) => each instanceof TerminalSurface);
  if (terminal) terminal.print(text);
  else process.stderr.write(`${text}\n`);
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
