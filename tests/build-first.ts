/** Tests that start the compiled program find it made from the present sources: it is compiled first when it is not. */
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { TestProject } from "vitest/node";

/** Everything that is compiled, or says how. */
const SOURCES = ["src", "tests/chat/discord", "package.json", "package-lock.json", "tsconfig.json"];
/** What was compiled last. Stands in the output, so that it goes when that is deleted. */
const STAMP = "dist/.made-from";

export default function buildFirst(project: TestProject): void {
  buildWhenStale();
  project.onTestsRerun(async () => buildWhenStale());
}

function buildWhenStale(): void {
  const sources = fingerprint();
  if (existsSync(STAMP) && readFileSync(STAMP, "utf8") === sources) return;
  for (const script of ["build", "build:tests"])
    execFileSync("npm", ["run", "--silent", script], { stdio: "inherit" });
  writeFileSync(STAMP, sources);
}

/** Changes when a file is changed, added, moved or removed. */
function fingerprint(): string {
  const hash = createHash("sha256");
  for (const path of SOURCES.flatMap(filesIn)) {
    const { mtimeMs, size } = statSync(path);
    hash.update(`${path} ${mtimeMs} ${size}\n`);
  }
  return hash.digest("hex");
}

function filesIn(path: string): string[] {
  if (!statSync(path).isDirectory()) return [path];
  return readdirSync(path)
    .sort()
    .flatMap((name) => filesIn(join(path, name)));
}
