/**
 * `npm run bench`: how fast it is on this machine, beside the limits. `--only GROUP` measures the groups whose name
 * has that in it (may be given more than once); `--against COMMIT` also builds that commit and compares; `--json`
 * prints one object.
 */
import { parseArgs } from "node:util";
import { against } from "./against.js";
import { altitude } from "./altitude.js";
import { centralForecast } from "./central-forecast.js";
import { deviceStart } from "./device-start.js";
import { discordLoad } from "./discord-load.js";
import { folderBurst } from "./folder-burst.js";
import { names } from "./name-look-ups.js";
import { requestCommand } from "./request-command.js";
import { roomFirstView } from "./room-first-view.js";
import { roomLoad } from "./room-load.js";
import { roomSteady } from "./room-steady.js";
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
  roomSteady,
  deviceStart,
  folderBurst,
];

async function main(): Promise<void> {
  const { values } = parseArgs({
    options: {
      json: { type: "boolean", default: false },
      only: { type: "string", multiple: true, default: [] },
      against: { type: "string" },
    },
  });
  const chosen = MEASUREMENTS.filter((measure) => isChosen(groupOf(measure), values.only));
  if (chosen.length === 0) {
    const groups = MEASUREMENTS.map(groupOf).join(", ");
    process.stderr.write(
      `No group is called ${values.only.join(" or ")}; type --only with one of ${groups}.\n`,
    );
    process.exitCode = 1;
    return;
  }
  const rows: BenchRow[] = [];
  if (values.against !== undefined) rows.push(...against(values.against, chosen.map(groupOf)));
  else for (const measure of chosen) rows.push(...(await measure()));
  process.stdout.write(values.json ? `${JSON.stringify({ rows }, null, 2)}\n` : tableOf(rows));
}

/** A group has the name of the file that measures it: `centralForecast` is in `central-forecast.ts`. */
function groupOf(measure: Measurement): string {
  return measure.name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
}

function isChosen(group: string, only: readonly string[]): boolean {
  return only.length === 0 || only.some((name) => group.includes(name));
}

await main();
