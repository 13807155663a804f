/** What is known of each change, kept line by line as it becomes known: a run that is cut short goes on where it was. */
import { createHash } from "node:crypto";
import { appendFileSync, existsSync, mkdirSync, readFileSync } from "node:fs";
import { dirname, relative } from "node:path";
import { declareClassPlugin, PluginKind } from "@stryker-mutator/api/plugin";

const FILE = "reports/mutation/results.jsonl";
const NOTICED = ["Killed", "Timeout"];
const UNNOTICED = ["Survived", "NoCoverage"];

const contents = new Map();

/** One change of one state of its file, in a short word. */
export function identityOf({ fileName, mutatorName, location: { start, end }, replacement }) {
  const name = relative(process.cwd(), fileName);
  const content = contents.get(name) ?? digest(readFileSync(name));
  contents.set(name, content);
  const place = [start.line, start.column, end.line, end.column];
  return digest([name, content, mutatorName, ...place, replacement].join("\n"));
}

export function digest(text) {
  return createHash("sha256").update(text).digest("hex");
}

/** By identity; the last word counts. */
export function knownResults() {
  if (!existsSync(FILE)) return new Map();
  const lines = readFileSync(FILE, "utf8")
    .split("\n")
    .filter((line) => line.endsWith("}"));
  return new Map(lines.map((line) => JSON.parse(line)).map((result) => [result.identity, result]));
}

export const isNoticed = ({ status }) => NOTICED.includes(status);

class KeptResults {
  constructor() {
    mkdirSync(dirname(FILE), { recursive: true });
  }

  onMutantTested(mutant) {
    if (![...NOTICED, ...UNNOTICED].includes(mutant.status)) return;
    const { mutatorName, replacement, status, location } = mutant;
    const where = `${relative(process.cwd(), mutant.fileName)}:${location.start.line}`;
    const result = { identity: identityOf(mutant), status, where, mutatorName, replacement };
    appendFileSync(FILE, `${JSON.stringify(result)}\n`);
  }
}

export const strykerPlugins = [declareClassPlugin(PluginKind.Reporter, "kept-results", KeptResults)];
