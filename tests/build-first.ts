/** Tests that start the compiled program find it made from the present sources: it is compiled first when it is not. */
import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as pause } from "node:timers/promises";
import type { TestProject } from "vitest/node";

/** Everything that is compiled, or says how. */
const SOURCES = ["src", "tests/chat/discord", "package.json", "package-lock.json", "tsconfig.json"];
/** What was compiled last. Stands in the output, so that it goes when that is deleted. */
const STAMP = "dist/.made-from";
/** Holds the process id of the run that compiles; others of the same checkout wait for it. */
const LOCK = "dist/.being-made-by";
const LONGEST_COMPILING_MS = 5 * 60_000;

export default async function buildFirst(project: TestProject): Promise<void> {
  await buildWhenStale();
  project.onTestsRerun(buildWhenStale);
}

async function buildWhenStale(): Promise<void> {
  if (isFresh()) return;
  mkdirSync("dist", { recursive: true });
  for (let told = false; !tookLock(); told = true) {
    if (!told) console.log("Another run of the tests is compiling this checkout: waiting for it.");
    await pause(250);
  }
  try {
    if (isFresh()) return;
    build();
  } finally {
    rmSync(LOCK, { force: true });
  }
}

function build(): void {
  console.log("The sources have changed since they were compiled: compiling.");
  const sources = fingerprint();
  rmSync(STAMP, { force: true });
  for (const script of ["build", "build:tests"])
    execFileSync("npm", ["run", "--silent", script], {
      stdio: ["ignore", "inherit", "inherit"],
      timeout: LONGEST_COMPILING_MS,
    });
  writeFileSync(STAMP, sources);
}

function isFresh(): boolean {
  return existsSync(STAMP) && readFileSync(STAMP, "utf8") === fingerprint();
}

/** One of many gets it; that of a run which was killed is cleared away for the next trial. */
function tookLock(): boolean {
  try {
    writeFileSync(LOCK, String(process.pid), { flag: "wx" });
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== "EEXIST") throw error;
  }
  if (!isAlive(LOCK)) rmSync(LOCK, { force: true });
  return false;
}

/** Whether the process that wrote the lock still runs. */
function isAlive(lock: string): boolean {
  try {
    process.kill(Number(readFileSync(lock, "utf8")), 0);
    return true;
  } catch {
    return false;
  }
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
