/** Reads a truth file over the default one and says in one sentence what is wrong with it. */
import { readFileSync } from "node:fs";
import { parse } from "yaml";
import type { z } from "zod";
import { Refusal } from "../../base/refusal.js";
import { type Truth, truthSchema } from "./parameters.js";

/** The parameters as shipped, with what `path` changes in them (null: nothing). @throws {Refusal} */
export function loadTruth(path: string | null): Truth {
  const standard = parse(readFileSync(new URL("./default.yaml", import.meta.url), "utf8")) as unknown;
  if (path === null) return truthSchema.parse(standard);
  return checked(over(standard, readYaml(path)), path);
}

/** Checks changes to the parameters as shipped; `source` names them in messages. @throws {Refusal} code "truth-invalid" */
export function truthWith(changes: unknown, source: string): Truth {
  const standard = parse(readFileSync(new URL("./default.yaml", import.meta.url), "utf8")) as unknown;
  return checked(over(standard, changes), source);
}

function readYaml(path: string): unknown {
  let text: string;
  try {
    text = readFileSync(path, "utf8");
  } catch (error) {
    const sentence = `${path} cannot be read: name a file of truth parameters with --truth FILE.`;
    throw new Refusal("truth-unreadable", sentence, { cause: error });
  }
  try {
    return parse(text) as unknown;
  } catch (error) {
    const what = ((error as Error).message.split("\n")[0] as string).replace(/:?$/, "");
    throw new Refusal("truth-unreadable", `${path} is not valid YAML: ${what}.`, { cause: error });
  }
}

function checked(value: unknown, source: string): Truth {
  const result = truthSchema.safeParse(value);
  if (result.success) return result.data;
  throw new Refusal("truth-invalid", `${source}: ${sentenceFor(result.error.issues[0]!, value)}`);
}

function sentenceFor(issue: z.core.$ZodIssue, value: unknown): string {
  const key = issue.path.join(".") || "the file";
  if (issue.code === "unrecognized_keys") {
    const unknown = [...issue.path, issue.keys[0] as string].join(".");
    const possible = Object.keys(standardAt(issue.path) ?? {});
    return `there is no key ${unknown}; possible here: ${possible.join(", ")}.`;
  }
  const found = issue.path.reduce<unknown>((at, step) => (at as Record<PropertyKey, unknown>)?.[step], value);
  const shown = found === undefined ? "is missing" : `is ${short(found)}`;
  return `${key} ${shown}; allowed: ${allowed(issue)}.`;
}

function allowed(issue: z.core.$ZodIssue): string {
  if (issue.code === "too_small") return `${issue.inclusive ? "at least" : "more than"} ${issue.minimum}`;
  if (issue.code === "too_big") return `${issue.inclusive ? "at most" : "less than"} ${issue.maximum}`;
  if (issue.code === "invalid_type")
    return (
      { number: "a number", int: "a whole number", object: "a group of keys", array: "a list" }[
        issue.expected as string
      ] ?? issue.expected
    );
  if (issue.code === "invalid_value") return `one of ${issue.values.map(String).join(", ")}`;
  return issue.message;
}

function short(found: unknown): string {
  const text = JSON.stringify(found) ?? String(found);
  return text.length > 60 ? `${text.slice(0, 60)}…` : text;
}

/** What the default file holds at a path; the first entry stands for all of a list. */
function standardAt(path: readonly PropertyKey[]): object | null {
  const standard = loadTruth(null) as unknown;
  return path.reduce<unknown>(
    (at, step) => (Array.isArray(at) ? at[0] : (at as Record<PropertyKey, unknown>)?.[step]),
    standard,
  ) as object | null;
}

/** Groups are merged key by key; anything else replaces what was there. */
function over(standard: unknown, changes: unknown): unknown {
  if (changes === undefined) return standard;
  if (!isGroup(standard) || !isGroup(changes)) return changes;
  const merged: Record<string, unknown> = { ...standard };
  for (const [key, value] of Object.entries(changes)) merged[key] = over(standard[key], value);
  return merged;
}

function isGroup(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
