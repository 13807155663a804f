/**
 * `npm run mutate -- [--seed N] [--mutants N] [--only ROOM,ROOM]`: changes the program in one place at a time and
 * counts how often a test notices. The changes are drawn evenly from all that the mutator knows for the rooms below,
 * the same for one seed; `--only` tries those of some rooms. Each result is kept in reports/mutation; what is known already is not run again.
 */
import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { parseArgs } from "node:util";
import { Stryker } from "@stryker-mutator/core";
import { Instrumenter } from "@stryker-mutator/instrumenter";

const ROOMS = ["queue", "forecast", "estimates", "notices", "journal"];
const { values } = parseArgs({
  options: {
    seed: { type: "string", default: "1" },
    mutants: { type: "string", default: "1000" },
    only: { type: "string", default: ROOMS.join(",") },
  },
});
const sourcesOf = (rooms) => rooms.flatMap((room) => sourcesIn(join("src", room)));
const sample = new Set((await allMutants()).sort().slice(0, Number(values.mutants)));
await drawOnly(sample);
const results = await new Stryker({
  mutate: sourcesOf(values.only.split(",")),
  testRunner: "vitest",
  vitest: { configFile: "tests/mutation/vitest.config.ts", related: true },
  plugins: ["@stryker-mutator/vitest-runner"],
  coverageAnalysis: "perTest",
  // A constant of a module is fixed before the first test, so that every test would have to be run for each.
  ignoreStatic: true,
  concurrency: 1,
  incremental: true,
  incrementalFile: "reports/mutation/incremental.json",
  reporters: ["progress-append-only", "json"],
  jsonReporter: { fileName: "reports/mutation/mutation.json" },
  ignorePatterns: ["dist", "reports", "data"],
  // Its rewriting of this file needs a compiler that can be called, and nothing is compiled here.
  tsconfigFile: "none",
  tempDirName: "reports/mutation/sandbox",
  dryRunTimeoutMinutes: 20,
}).runMutationTest();
tell(results.filter(({ status }) => status !== "Ignored"));

function sourcesIn(folder) {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith(".ts"))
    .map((entry) => join(entry.parentPath, entry.name));
}

/** The draw number and identity of every change there is. */
async function allMutants() {
  const quiet = { debug() {}, info() {}, warn() {}, isDebugEnabled: () => false };
  const contents = sourcesOf(ROOMS).map((name) => ({
    name,
    mutate: true,
    content: readFileSync(name, "utf8"),
  }));
  const options = { plugins: null, ignorers: [], excludedMutations: [], noHeader: false };
  const { mutants } = await new Instrumenter(quiet).instrument(contents, options);
  return mutants.map(drawOf);
}

/** A number drawn for this change by the seed: sorted by it, the first so many are an even sample. */
function drawOf({ fileName, mutatorName, location, replacement }) {
  const { start, end } = location;
  const place = [start.line, start.column, end.line, end.column];
  const change = [values.seed, relative(process.cwd(), fileName), mutatorName, ...place, replacement];
  return createHash("sha256").update(change.join("\n")).digest("hex");
}

/** Only a change that was drawn is built into the program; ranges of lines would bring all that lie within with them. */
async function drawOnly(drawn) {
  const home = import.meta.resolve("@stryker-mutator/instrumenter");
  const { MutantCollector } = await import(new URL("./transformers/mutant-collector.js", home).href);
  const collect = MutantCollector.prototype.collect;
  MutantCollector.prototype.collect = function collectDrawn(...args) {
    const mutant = collect.apply(this, args);
    const kept = drawn.has(drawOf(mutant.toApiMutant()));
    if (!kept) mutant.ignoreReason ??= "not drawn";
    return mutant;
  };
}

function tell(tried) {
  const killed = tried.filter(({ status }) => status === "Killed" || status === "Timeout");
  const survivors = tried.filter(({ status }) => status === "Survived" || status === "NoCoverage");
  for (const { fileName, mutatorName, location, replacement } of survivors)
    console.log(
      `${relative(process.cwd(), fileName)}:${location.start.line} ${mutatorName}: ${replacement.replaceAll(/\s+/g, " ").slice(0, 90)}`,
    );
  const share = (100 * killed.length) / (killed.length + survivors.length);
  console.log(`${killed.length} of ${killed.length + survivors.length} noticed: ${share.toFixed(1)} %.`);
}
