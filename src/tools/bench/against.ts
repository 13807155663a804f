/** Another commit beside this one: built apart, measured by turns in the same run, compared pair by pair. */
import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, rmSync, symlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { type BenchRow, figure, median } from "./row.js";
import { shown } from "./table.js";

const ROOT = fileURLToPath(new URL("../../..", import.meta.url));
const MEASURE_ONCE = fileURLToPath(new URL("./measure-once.js", import.meta.url));
/** Each is a measurement's own median already; some take half a minute. */
const PAIRS = 3;
/**
 * Data folders lie here where there is such a place: ten thousand entries are written before a measurement, and what
 * the disk has to do besides belongs to neither build.
 */
const IN_MEMORY = "/dev/shm";

/** One row measured in both builds, once for each pair. */
interface Paired {
  readonly unit: string;
  readonly here: number[];
  readonly there: number[];
}

/**
 * The rows that both builds have, each with its medians and the median of the ratios of this build to the other.
 * @param commit anything that git can name
 * @param groups names of the files that measure
 * @throws {Error} when git does not know the commit, or it cannot be built with the packages installed here
 */
export function against(commit: string, groups: readonly string[]): readonly BenchRow[] {
  const folder = mkdtempSync(join(tmpdir(), "nightslate-against-"));
  try {
    say(`building ${commit} …`);
    build(commit, folder);
    return groups.flatMap((group) => rowsOf(pairsOf(group, folder), commit));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function build(commit: string, folder: string): void {
  const archive = join(folder, "source.tar");
  execFileSync("git", ["-C", ROOT, "archive", "--output", archive, commit]);
  execFileSync("tar", ["-xf", archive, "-C", folder]);
  symlinkSync(join(ROOT, "node_modules"), join(folder, "node_modules"));
  mkdirSync(join(folder, "dist"), { recursive: true });
  for (const script of ["build", "build:tests"])
    execFileSync("npm", ["run", "--silent", "--if-present", script], { cwd: folder, stdio: "inherit" });
}

/** By name of the row. Who is measured first changes from pair to pair. */
function pairsOf(group: string, folder: string): ReadonlyMap<string, Paired> {
  const paired = new Map<string, Paired>();
  for (let pair = 0; pair < PAIRS; pair++) {
    const first = measured(pair % 2 === 0 ? ROOT : folder, group);
    const second = measured(pair % 2 === 0 ? folder : ROOT, group);
    const [here, there] = pair % 2 === 0 ? [first, second] : [second, first];
    for (const { name, value, unit } of here) {
      const other = there.find((row) => row.name === name);
      if (other === undefined) continue;
      say(`pair ${pair + 1} of ${PAIRS}: ${name}: ${shown(value, unit)} against ${shown(other.value, unit)}`);
      const row = paired.get(name) ?? { unit, here: [], there: [] };
      row.here.push(value);
      row.there.push(other.value);
      paired.set(name, row);
    }
    if (paired.size === 0) break;
  }
  return paired;
}

function measured(root: string, group: string): readonly BenchRow[] {
  const stdio: ["ignore", "pipe", "inherit"] = ["ignore", "pipe", "inherit"];
  const env = { ...process.env, ...(existsSync(IN_MEMORY) ? { TMPDIR: IN_MEMORY } : {}) };
  const printed = execFileSync(process.execPath, [MEASURE_ONCE, root, group], {
    encoding: "utf8",
    stdio,
    env,
  });
  return JSON.parse(printed.trim().split("\n").at(-1) as string);
}

/** Progress, beside the table: measuring takes minutes. */
function say(line: string): void {
  process.stderr.write(`${line}\n`);
}

function rowsOf(paired: ReadonlyMap<string, Paired>, commit: string): BenchRow[] {
  return [...paired].flatMap(([name, { unit, here, there }]) => [
    figure(name, median(here), unit),
    figure(`  at ${commit}`, median(there), unit),
    figure("  this ÷ that", median(here.map((value, pair) => value / (there[pair] as number))), "×"),
  ]);
}
