/** `npm run bench`: how fast it is on this machine, beside the limits. `--json` prints one object. */
import { altitude } from "./altitude.js";
import { centralForecast } from "./central-forecast.js";
import { discordLoad } from "./discord-load.js";
import { names } from "./names.js";
import { requestCommand } from "./request-command.js";
import { roomFirstView } from "./room-first-view.js";
import { roomLoad } from "./room-load.js";
import type { BenchRow, Measurement } from "./row.js";
import { spread } from "./spread.js";
import { tableOf } from "./table.js";
import { whenCommand } from "./when-command.js";
import { wholeProgram } from "./whole-program.js";

const MEASUREMENTS: readonly Measurement[] = [
  centralForecast,
  spread,
  altitude,
  names,
  requestCommand,
  whenCommand,
  wholeProgram,
  discordLoad,
  roomFirstView,
  roomLoad,
];

async function main(): Promise<void> {
  const rows: BenchRow[] = [];
  for (const measure of MEASUREMENTS) rows.push(...(await measure()));
  const json = process.argv.includes("--json");
  process.stdout.write(json ? `${JSON.stringify({ rows }, null, 2)}\n` : tableOf(rows));
}

await main();
