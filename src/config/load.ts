/** Reads a configuration file and says, for each fault, the key, the value found and what is allowed. */
import { readFileSync } from "node:fs";
import { parseDocument } from "yaml";
import type { z } from "zod";
import { Refusal } from "../base/refusal.js";
import { type Config, configSchema } from "./config.js";

/**
 * Loads and checks a YAML configuration.
 * @throws {Refusal} code "config-unreadable" (no such file, bad YAML) or "config-invalid" (a key at fault)
 */
export function loadConfig(path: string): Config {
  return parseConfig(readText(path), path);
}

/** Checks configuration text; `source` names it in messages. */
export function parseConfig(text: string, source: string): Config {
  const document = parseDocument(text);
  const fault = document.errors[0];
  if (fault) {
    const line = fault.linePos?.[0].line;
    const what = (fault.message.split("\n")[0] as string).replace(/ at line \d+, column \d+:?$/, "");
    throw new Refusal(
      "config-unreadable",
      `${source}, line ${line ?? "?"}: this is not valid YAML: ${what}.`,
    );
  }
  const value: unknown = document.toJS();
  const checked = configSchema.safeParse(value);
  if (checked.success) return checked.data;
  const faults = checked.error.issues.map((issue) => describeIssue(issue, value));
  const shown = faults.slice(0, 5).map((each) => `  ${each}`);
  const more = faults.length > 5 ? `\n  … and ${faults.length - 5} more` : "";
  throw new Refusal("config-invalid", `${source} needs mending:\n${shown.join("\n")}${more}`);
}

function readText(path: string): string {
  try {
    return readFileSync(path, "utf8");
  } catch (error) {
    const reason =
      (error as NodeJS.ErrnoException).code === "ENOENT" ? "there is no such file" : "it cannot be read";
    throw new Refusal("config-unreadable", `${path}: ${reason}. Name a configuration with --config FILE.`, {
      cause: error,
    });
  }
}

/** One line: key, value found, what is allowed. */
function describeIssue(issue: z.core.$ZodIssue, root: unknown): string {
  const path = issue.path.map(String);
  if (issue.code === "unrecognized_keys") {
    const keys = issue.keys.map((key) => [...path, key].join("."));
    return `${keys.join(", ")}: there is no such key; remove it or correct its spelling.`;
  }
  const found = issue.path.reduce<unknown>(
    (value, key) => (value as Record<PropertyKey, unknown> | undefined)?.[key],
    root,
  );
  const shown = found === undefined ? "missing" : `${JSON.stringify(found)?.slice(0, 60)} is not allowed`;
  return `${path.join(".") || "the file"}: ${shown}; allowed: ${allowed(issue)}.`;
}

function allowed(issue: z.core.$ZodIssue): string {
  switch (issue.code) {
    case "invalid_type":
      return `${/^[aeio]/.test(issue.expected) ? "an" : "a"} ${issue.expected}`;
    case "invalid_value":
      return `one of ${issue.values.map(String).join(", ")}`;
    case "too_small":
      return `${issue.inclusive ? "at least" : "more than"} ${issue.minimum}${sizeWord(issue.origin)}`;
    case "too_big":
      return `${issue.inclusive ? "at most" : "less than"} ${issue.maximum}${sizeWord(issue.origin)}`;
    default:
      return issue.message.replace(/^Invalid input: /, "");
  }
}

function sizeWord(origin: string): string {
  if (origin === "string") return " characters";
  return origin === "array" ? " entries" : "";
}
