/** `npm run backtest`: how well the forecast does on nights from a truth it does not know. */
import { basename } from "node:path";
import { fileURLToPath } from "node:url";
import { Refusal } from "../../base/refusal.js";
import { loadConfig } from "../../config/load.js";
import { type Arguments, readArguments, USAGE } from "./arguments.js";
import { tableOf, tableOfAll } from "./report.js";
import { type BacktestWish, type OnProgress, runBacktests } from "./run.js";
import { loadTruth, shippedTruths } from "./truth/load.js";

const EXAMPLE = fileURLToPath(new URL("../../../config/tern-hollow.yaml", import.meta.url));

async function main(): Promise<void> {
  const given = readArguments(process.argv.slice(2));
  if (given.help) {
    process.stdout.write(`${USAGE}\n`);
    return;
  }
  const truths = given.all ? shippedTruths() : [{ name: nameOf(given.truth), path: given.truth }];
  const results = await runBacktests(
    truths.map(({ path }) => wishOf(path, given)),
    given.cores,
    process.stderr.isTTY ? progress() : undefined,
  );
  const named = truths.map(({ name }, index) => ({ name, result: results[index]! }));
  const only = named[0]!.result;
  const json = given.all ? Object.fromEntries(named.map(({ name, result }) => [name, result])) : only;
  process.stdout.write(
    given.json
      ? `${JSON.stringify(json, null, 2)}\n`
      : given.all
        ? tableOfAll(named)
        : tableOf(only, named[0]!.name),
  );
}

function nameOf(truth: string | null): string {
  return truth === null ? "default" : basename(truth, ".yaml");
}

function wishOf(path: string | null, given: Arguments): BacktestWish {
  const { nights, firstNights, oracle, runs, seed, all } = given;
  const example = loadConfig(EXAMPLE);
  const config = { ...example, forecast: { ...example.forecast, runs: runs ?? example.forecast.runs } };
  const truth = loadTruth(path);
  // The table of all truths has no column for the rules.
  const fullNights = { ...truth.fullNights, nightsPerSite: all ? 0 : truth.fullNights.nightsPerSite };
  return { truth: { ...truth, fullNights }, config, nights, firstNights, oracle, seed };
}

/** "312 of 600 nights, about 3 min left", always on the same line. */
function progress(): OnProgress {
  const beganMs = performance.now();
  return (done, all) => {
    const left = ((performance.now() - beganMs) / 60_000) * (all / done - 1);
    const words = done === 0 ? "" : `, about ${left < 1 ? "a minute" : `${Math.ceil(left)} min`} left`;
    process.stderr.write(`\r\u001b[K${done < all ? `${done} of ${all} nights${words}` : ""}`);
  };
}

try {
  await main();
} catch (error) {
  if (!(error instanceof Refusal)) throw error;
  process.stderr.write(`${error.message}\n`);
  process.exitCode = 1;
}
