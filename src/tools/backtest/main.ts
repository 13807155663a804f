/** `npm run backtest`: how well the forecast does on nights from a truth it does not know. */
import { fileURLToPath } from "node:url";
import { Refusal } from "../../base/refusal.js";
import { loadConfig } from "../../config/load.js";
import { readArguments, USAGE } from "./arguments.js";
import { tableOf } from "./report.js";
import { runBacktest } from "./run.js";
import { loadTruth } from "./truth/load.js";

const EXAMPLE = fileURLToPath(new URL("../../../config/tern-hollow.yaml", import.meta.url));

async function main(): Promise<void> {
  const { help, json, nights, seed, runs, truth } = readArguments(process.argv.slice(2));
  if (help) {
    process.stdout.write(`${USAGE}\n`);
    return;
  }
  const example = loadConfig(EXAMPLE);
  const config = { ...example, forecast: { ...example.forecast, runs: runs ?? example.forecast.runs } };
  const wish = { truth: loadTruth(truth), config, nights, seed };
  const result = await runBacktest(wish);
  process.stdout.write(json ? `${JSON.stringify(result, null, 2)}\n` : tableOf(result));
}

try {
  await main();
} catch (error) {
  if (!(error instanceof Refusal)) throw error;
  process.stderr.write(`${error.message}\n`);
  process.exitCode = 1;
}
