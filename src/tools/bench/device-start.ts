/** The device link on the protocol's own simulators: from one hand-over to the next exposure, beyond their own motion. */
import { execFileSync } from "node:child_process";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { SECOND } from "../../base/units.js";
import { atMost, type BenchRow, median } from "./row.js";

/** What the simulators' side measured (tests/telescope/device/time-simulators.ts). */
type Report = { readonly beyondMs: readonly number[] } | { readonly missing: string };

const ROOT = fileURLToPath(new URL("../../..", import.meta.url));
const TIMED = join(ROOT, "dist", "with-tests", "tests", "telescope", "device", "time-simulators.js");
const LIMIT_SECONDS = 0.5;

export function deviceStart(): readonly BenchRow[] {
  const report = JSON.parse(execFileSync(process.execPath, [TIMED], { cwd: ROOT }).toString()) as Report;
  if ("missing" in report) {
    process.stderr.write(`The device link: ${report.missing}.\n`);
    return [];
  }
  const seconds = median(report.beyondMs) / SECOND;
  return [atMost("device link, hand-over to exposure beyond the motion", seconds, "s", LIMIT_SECONDS)];
}
