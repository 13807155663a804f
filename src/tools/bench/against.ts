/** Another commit beside this one: built apart, measured by turns in the same run, compared pair by pair. */
import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, symlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { type BenchRow, figure, median } from "./row.js";

const ROOT = fileURLToPath(new URL("../../..", import.meta.url));
const MEASURE_ONCE = fileURLToPath(new URL("./measure-once.js", import.meta.url));
const PAIRS = 5;

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
  const printed = execFileSync(process.execPath, [MEASURE_ONCE, root, group], { encoding: "utf8", stdio });
  return JSON.parse(printed.trim().split("\n").at(-1) as string);
}

function rowsOf(paired: ReadonlyMap<string, Paired>, commit: string): BenchRow[] {
  return [...paired].flatMap(([name, { unit, here, there }]) => [
    figure(name, median(here), unit),
    figure(`  at ${commit}`, median(there), unit),
    figure("  this ÷ that", median(here.map((value, pair) => value / (there[pair] as number))), "×"),
  ]);
}
