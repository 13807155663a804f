/** Reads a truth file over the default one and says in one sentence what is wrong with it. */
import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { parse } from "yaml";
import type { z } from "zod";
import { Refusal } from "../../../base/refusal.js";
import { type Truth, truthSchema } from "./parameters.js";

/**
 * The parameters as shipped, with what the file `path` changes in them (null: nothing).
 * @throws {Refusal} code "truth-unreadable" or "truth-invalid", naming key, value and what is allowed
 */
export function loadTruth(path: string | null): Truth {
  return path === null ? truthSchema.parse(standard()) : truthWith(readYaml(path), path);
}

/** The parameters as shipped, with `changes`; `source` names them in messages. @throws {Refusal} as `loadTruth` */
export function truthWith(changes: unknown, source: string): Truth {
  const value = over(standard(), changes);
  const result = truthSchema.safeParse(value);
  if (result.success) return result.data;
  throw new Refusal("truth-invalid", `${source}: ${sentenceFor(result.error.issues[0]!, value)}`);
}

/** The truths that are shipped, the default one first, then by name. */
export function shippedTruths(): readonly { readonly name: string; readonly path: string | null }[] {
  const names = readdirSync(FOLDER)
    .filter((file) => file.endsWith(".yaml") && file !== "default.yaml")
    .map((file) => file.replace(/\.yaml$/, ""))
    .sort();
  return [
    { name: "default", path: null },
    ...names.map((name) => ({ name, path: fileURLToPath(new URL(`${name}.yaml`, FOLDER)) })),
  ];
}

const FOLDER = new URL("./", import.meta.url);

function standard(): unknown {
  return parse(readFileSync(new URL("default.yaml", FOLDER), "utf8"));
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
    return (parse(text) ?? {}) as unknown;
  } catch (error) {
    const what = ((error as Error).message.split("\n")[0] as string).replace(/:?$/, "");
    throw new Refusal("truth-unreadable", `${path} is not valid YAML: ${what}.`, { cause: error });
  }
}

function sentenceFor(issue: z.core.$ZodIssue, value: unknown): string {
  const key = nameOf(issue.path) || "the file";
  if (issue.code === "unrecognized_keys") {
    const unknown = nameOf([...issue.path, issue.keys[0] as string]);
    const possible = Object.keys(standardAt(issue.path) ?? {});
    return `there is no key ${unknown}; possible here: ${possible.join(", ")}.`;
  }
  const found = issue.path.reduce<unknown>((at, step) => (at as Record<PropertyKey, unknown>)?.[step], value);
  const shown = found === undefined ? "is missing" : `is ${short(found)}`;
  return `${key} ${shown}; allowed: ${allowed(issue)}.`;
}

/** Entries of a list are counted from 1. */
function nameOf(path: readonly PropertyKey[]): string {
  return path.map((step) => (typeof step === "number" ? step + 1 : String(step))).join(".");
}

function allowed(issue: z.core.$ZodIssue): string {
  const counted =
    "origin" in issue &&
    (issue.origin === "array" ? " entries" : issue.origin === "string" ? " letters" : "");
  if (issue.code === "too_small")
    return `${issue.inclusive ? "at least" : "more than"} ${issue.minimum}${counted || ""}`;
  if (issue.code === "too_big")
    return `${issue.inclusive ? "at most" : "less than"} ${issue.maximum}${counted || ""}`;
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
  return path.reduce<unknown>(
    (at, step) => (Array.isArray(at) ? at[0] : (at as Record<PropertyKey, unknown>)?.[step]),
    standard(),
  ) as object | null;
}

/** Groups are merged key by key; anything else replaces what was there. */
function over(before: unknown, changes: unknown): unknown {
  if (changes === undefined) return before;
  if (!isGroup(before) || !isGroup(changes)) return changes;
  const merged: Record<string, unknown> = { ...before };
  for (const [key, value] of Object.entries(changes)) merged[key] = over(before[key], value);
  return merged;
}

function isGroup(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}
