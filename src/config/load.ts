/** Reads a configuration file and says, for each fault, the line, the key, the value found and what is allowed. */
import { readFileSync } from "node:fs";
import { type Document, LineCounter, parseDocument } from "yaml";
import { Refusal } from "../base/refusal.js";
import type { Config } from "./config.js";
import { withDaylight } from "./daylight.js";
import { describeFault, plain } from "./describe-fault.js";
import { soundConfig } from "./references.js";
import { withOrbitsPath } from "./targets-section.js";

/** Faults shown at a time; mending the first often mends the rest. */
const FAULTS_SHOWN = 5;

/**
 * Loads and checks a YAML configuration.
 * @throws {Refusal} code "config-unreadable" (no such file, bad YAML), "config-invalid" (a key at fault) or
 * "orbits-unreadable" (a line of the file of orbits)
 */
export function loadConfig(path: string): Config {
  const config = parseConfig(readText(path), path);
  return { ...config, targets: withOrbitsPath(config.targets, path) };
}

/**
 * Checks configuration text; `source` names it in messages.
 * @throws {Refusal} as `loadConfig`
 */
export function parseConfig(text: string, source: string): Config {
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines });
  const value = readValue(document, source);
  const checked = soundConfig.safeParse(value);
  if (checked.success) return withDaylight(checked.data);
  if (value === null) {
    throw new Refusal(
      "config-invalid",
      `${source} is empty: copy config/tern-hollow.yaml and change what differs.`,
    );
  }
  const faults = checked.error.issues.flatMap((issue) => describeFault(issue, value, document, lines));
  const shown = faults.slice(0, FAULTS_SHOWN).map((fault) => `  ${fault}`);
  const more = faults.length > FAULTS_SHOWN ? `\n  … and ${faults.length - FAULTS_SHOWN} more` : "";
  throw new Refusal("config-invalid", `${source} needs mending:\n${shown.join("\n")}${more}`);
}

function readText(path: string): string {
  try {
    return readFileSync(path, "utf8");
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    const reason =
      code === "ENOENT"
        ? "there is no such file"
        : code === "EISDIR"
          ? "this is a folder"
          : "it cannot be read";
    const sentence = `${plain(path)}: ${reason}. Name a configuration with --config FILE.`;
    throw new Refusal("config-unreadable", sentence, { cause: error });
  }
}

function readValue(document: Document.Parsed, source: string): unknown {
  const [fault] = document.errors;
  if (fault) {
    const line = fault.linePos?.[0].line ?? "?";
    const what =
      fault.code === "MULTIPLE_DOCS"
        ? "a second document begins here; remove the line ---"
        : plain((fault.message.split("\n")[0] as string).replace(/ at line \d+, column \d+:?$/, ""));
    throw new Refusal("config-unreadable", `${source}, line ${line}: this is not valid YAML: ${what}.`);
  }
  try {
    const value: unknown = document.toJS();
    const key = withinItself(value, []);
    if (key === null) return value;
    throw new Refusal(
      "config-unreadable",
      `${source}: ${key} has an alias (*name) in it that stands for what it is itself a part of, without end: write that part out.`,
    );
  } catch (error) {
    if (error instanceof Refusal) throw error;
    // An alias (*name) to nothing, or aliases within aliases beyond all reason.
    const what = plain((error as Error).message);
    throw new Refusal("config-unreadable", `${source}: this is not valid YAML: ${what}.`, { cause: error });
  }
}

/** The key at which a value holds itself; null where none does. */
function withinItself(value: unknown, above: readonly unknown[]): string | null {
  if (typeof value !== "object" || value === null) return null;
  const inside = [...above, value];
  for (const [key, part] of Object.entries(value)) {
    if (inside.includes(part)) return key;
    const found = withinItself(part, inside);
    if (found !== null) return `${key}.${found}`;
  }
  return null;
}
