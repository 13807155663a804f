/** A PostgreSQL server of the tests' own, on loopback, durable as a real one; null where the programs are missing. */
import { execFileSync } from "node:child_process";
import { chownSync, existsSync, mkdtempSync, readdirSync, rmSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { StoreConfig } from "../../../src/journal/open-store.js";
import { readPostgresPlace } from "../../../src/journal/postgres/place.js";

const VERSIONS = "/usr/lib/postgresql";

export type Place = StoreConfig & { readonly kind: "postgres" };

export interface TestServer {
  readonly url: string;
  /** A journal that nobody has used. */
  newPlace(): Place;
  start(): void;
  /** How PostgreSQL is asked to stop (pg_ctl's modes); `immediate` is what a crash does. */
  stop(mode: "fast" | "immediate"): void;
}

let server: Promise<TestServer | null> | null = null;

/** The one server of this test process, started when it is first asked for. */
export function postgresServer(): Promise<TestServer | null> {
  server ??= begin();
  return server;
}

/** Whether `postgresServer` will give one; where not, that is said once. */
export function hasPostgres(): boolean {
  const there = programs() !== null;
  if (!there) console.warn("PostgreSQL is not installed (Debian: postgresql): its tests are left out.");
  return there;
}

function programs(): string | null {
  const versions = existsSync(VERSIONS) ? readdirSync(VERSIONS).map(Number) : [];
  const folder = join(VERSIONS, String(Math.max(...versions)), "bin");
  return existsSync(join(folder, "initdb")) ? folder : null;
}

async function begin(): Promise<TestServer | null> {
  const bin = programs();
  if (!bin) return null;
  const folder = mkdtempSync(join(tmpdir(), "nightslate-postgres-"));
  const port = await freePort();
  const isRoot = process.getuid?.() === 0;
  // The server refuses to run as root.
  if (isRoot) chownSync(folder, Number(execFileSync("id", ["-u", "postgres"])), -1);
  const run = (program: string, ...words: string[]): void => {
    const command = [join(bin, program), ...words];
    const [first, ...others] = isRoot ? ["runuser", "-u", "postgres", "--", ...command] : command;
    execFileSync(first as string, others, { stdio: "ignore", cwd: folder });
  };
  const data = join(folder, "data");
  run("initdb", "-D", data, "-A", "trust", "-U", "nightslate", "--no-sync", "--no-instructions");
  const options = `-h 127.0.0.1 -p ${port} -k ${folder}`;
  const start = (): void =>
    run("pg_ctl", "-w", "-D", data, "-o", options, "-l", join(folder, "log"), "start");
  const stop = (mode: string): void => run("pg_ctl", "-w", "-D", data, "-m", mode, "stop");
  start();
  process.once("exit", () => {
    try {
      stop("immediate");
    } catch {
      // A test has stopped it already.
    }
    rmSync(folder, { recursive: true, force: true });
  });
  const url = `postgres://nightslate@127.0.0.1:${port}/postgres`;
  let places = 0;
  const newPlace: TestServer["newPlace"] = () => {
    places += 1;
    return { kind: "postgres", ...readPostgresPlace(url, `Tern Hollow ${places}`) };
  };
  return { url, newPlace, start, stop };
}

function freePort(): Promise<number> {
  return new Promise((resolve) => {
    const probe = createServer().listen(0, "127.0.0.1", () => {
      const { port } = probe.address() as { port: number };
      probe.close(() => resolve(port));
    });
  });
}
