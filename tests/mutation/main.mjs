/**
 * `npm run mutate -- [--seed N] [--mutants N] [--only ROOM,ROOM] [--again]`: changes the program in one place at a time and
 * counts how often a test notices. The changes are drawn evenly from all that the mutator knows for the rooms below, the
 * same for one seed; `--only` tries those of some rooms. What is known of a change is not tried again while its file stays
 * as it is; `--again` tries those that no test had noticed.
 */
import { readdirSync, readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { parseArgs } from "node:util";
import { Stryker } from "@stryker-mutator/core";
import { Instrumenter } from "@stryker-mutator/instrumenter";
import { digest, identityOf, isNoticed, knownResults } from "./results.mjs";

const ROOMS = ["queue", "forecast", "estimates", "notices", "journal"];
/** Tried by tests that start a database or the compiled workers: what is changed here would not run in them. */
const ELSEWHERE = /^src\/(journal\/(postgres\/|standby)|forecast\/pool)/;
const { values } = parseArgs({
  options: {
    seed: { type: "string", default: "1" },
    mutants: { type: "string", default: "1000" },
    only: { type: "string", default: ROOMS.join(",") },
    again: { type: "boolean", default: false },
  },
});
const rooms = values.only.split(",");
const sourcesOf = (rooms) => rooms.flatMap((room) => sourcesIn(join("src", room)));
const sample = await drawn();
const known = knownResults();
const left = sample.filter((identity) => {
  const result = known.get(identity);
  return !result || (values.again && !isNoticed(result));
});
if (left.length > 0) {
  await buildIn(new Set(left));
  await tryThem();
}
tell();

function sourcesIn(folder) {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith(".ts"))
    .map((entry) => join(entry.parentPath, entry.name))
    .filter((name) => !ELSEWHERE.test(name));
}

/** The identities of the sample: sorted by a number that the seed draws for each, the first so many are an even one. */
async function drawn() {
  const quiet = { debug() {}, info() {}, warn() {}, isDebugEnabled: () => false };
  const contents = sourcesOf(ROOMS).map((name) => ({
    name,
    mutate: true,
    content: readFileSync(name, "utf8"),
  }));
  const options = { plugins: null, ignorers: [], excludedMutations: [], noHeader: false };
  const { mutants } = await new Instrumenter(quiet).instrument(contents, options);
  return mutants
    .map((mutant) => [drawOf(mutant), mutant])
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .slice(0, Number(values.mutants))
    .filter(([, { fileName }]) => rooms.includes(relative("src", fileName).split("/")[0]))
    .map(([, mutant]) => identityOf(mutant));
}

function drawOf({ fileName, mutatorName, location, replacement }) {
  const { start, end } = location;
  const place = [start.line, start.column, end.line, end.column];
  const change = [values.seed, relative(process.cwd(), fileName), mutatorName, ...place, replacement];
  return digest(change.join("\n"));
}

/** Only what is to be tried is built into the program; ranges of lines would bring all that lie within with them. */
async function buildIn(wanted) {
  const home = import.meta.resolve("@stryker-mutator/instrumenter");
  const { MutantCollector } = await import(new URL("./transformers/mutant-collector.js", home).href);
  const collect = MutantCollector.prototype.collect;
  MutantCollector.prototype.collect = function collectWanted(...args) {
    const mutant = collect.apply(this, args);
    if (!wanted.has(identityOf(mutant.toApiMutant()))) mutant.ignoreReason ??= "not to be tried";
    return mutant;
  };
}

async function tryThem() {
  const beside = (file) => new URL(file, import.meta.url).pathname;
  await new Stryker({
    mutate: sourcesOf(rooms),
    testRunner: "kept-vitest",
    plugins: [beside("kept-vitest.mjs"), beside("results.mjs")],
    coverageAnalysis: "perTest",
    // A constant of a module is fixed before the first test, so that every test would have to be run for each.
    ignoreStatic: true,
    concurrency: 1,
    // An endless loop is ended by its count of passes, a test that waits by its own limit: this is for what neither ends.
    timeoutFactor: 10,
    timeoutMS: 120_000,
    reporters: ["progress-append-only", "kept-results"],
    ignorePatterns: ["/dist", "/reports", "/data"],
    // Its rewriting of this file needs a compiler that can be called, and nothing is compiled here.
    tsconfigFile: "none",
    tempDirName: "reports/mutation/sandbox",
    dryRunTimeoutMinutes: 20,
  }).runMutationTest();
}

function tell() {
  const results = knownResults();
  const tried = sample.flatMap((identity) => results.get(identity) ?? []);
  for (const { where, mutatorName, replacement, status } of tried.filter((result) => !isNoticed(result)))
    console.log(`${where} ${mutatorName} (${status}): ${replacement.replaceAll(/\s+/g, " ").slice(0, 90)}`);
  const count = tried.filter(isNoticed).length;
  const share = ((100 * count) / tried.length).toFixed(1);
  console.log(
    `${count} of ${tried.length} noticed: ${share} %; ${sample.length - tried.length} are constants of a module, or not tried.`,
  );
}
