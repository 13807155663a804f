/** One fault of a configuration as a line for a person. */
import { distance } from "fastest-levenshtein";
import { type Document, isNode, type LineCounter } from "yaml";
import { z } from "zod";
import { configSchema } from "./config.js";

/** Characters of a value or key that are shown. */
const LONGEST_SHOWN = 60;
/** A key that differs in so many letters was probably meant. */
const SLIP = 3;

/**
 * The lines for one issue: line number, key, value found, what is allowed. An issue about several keys gives
 * several lines.
 * @param value the whole configuration as read
 */
export function describeFault(
  issue: z.core.$ZodIssue,
  value: unknown,
  document: Document.Parsed,
  lines: LineCounter,
): string[] {
  const { path } = issue;
  if (issue.code === "unrecognized_keys") {
    return issue.keys.map((key) => {
      const whole = [...path, key];
      return `${placeOf(whole, document, lines)}there is no such key; ${whatWasMeant(path, key)}`;
    });
  }
  const found = valueAt(path, value);
  const shown = found === undefined ? "missing" : `${inFewWords(found)} is not allowed`;
  return [`${placeOf(path, document, lines)}${shown}; allowed: ${allowed(issue)}.`];
}

/** Text from the file as it may be printed: control characters become spaces, and it is cut to a readable length. */
export function plain(text: string): string {
  const clean = text.replace(/[\p{Cc}\u202a-\u202e\u2066-\u2069]+/gu, " ");
  return clean.length > LONGEST_SHOWN * 2 ? `${clean.slice(0, LONGEST_SHOWN * 2)}…` : clean;
}

/** "line 12, observatory.site.latitudeDegrees: "; for a key that is missing, the line of what should hold it. */
function placeOf(path: readonly PropertyKey[], document: Document.Parsed, lines: LineCounter): string {
  const name = path.map((each) => (typeof each === "number" ? `${each + 1}` : plain(String(each)))).join(".");
  const offset = offsetOf(path, document);
  return `${offset === null ? "" : `line ${lines.linePos(offset).line}, `}${name || "the file"}: `;
}

function offsetOf(path: readonly PropertyKey[], document: Document.Parsed): number | null {
  for (let length = path.length; length > 0; length--) {
    const node = document.getIn(path.slice(0, length), true);
    if (isNode(node) && node.range) return node.range[0];
  }
  return null;
}

function valueAt(path: readonly PropertyKey[], root: unknown): unknown {
  return path.reduce<unknown>(
    (value, key) => (value as Record<PropertyKey, unknown> | undefined)?.[key],
    root,
  );
}

function inFewWords(found: unknown): string {
  // JSON has no word for these two.
  const text = plain(typeof found === "number" ? String(found) : (JSON.stringify(found) ?? String(found)));
  return text.length > LONGEST_SHOWN ? `${text.slice(0, LONGEST_SHOWN)}…` : text;
}

/** The nearest key that is possible there, or all of them. */
function whatWasMeant(path: readonly PropertyKey[], key: string): string {
  const possible = keysAt(path);
  const [nearest] = possible
    .map((each) => ({ each, letters: distance(each.toLowerCase(), key.toLowerCase()) }))
    .filter(({ letters }) => letters <= SLIP)
    .sort((a, b) => a.letters - b.letters);
  if (nearest) return `did you mean ${nearest.each}?`;
  return `these are possible: ${possible.join(", ")}.`;
}

function keysAt(path: readonly PropertyKey[]): string[] {
  let schema: unknown = configSchema;
  for (const key of path) {
    const within = withoutDefault(schema);
    if (within instanceof z.ZodArray) schema = within.element;
    else if (within instanceof z.ZodObject) schema = within.shape[String(key)];
  }
  const last = withoutDefault(schema);
  return last instanceof z.ZodObject ? Object.keys(last.shape) : [];
}

function withoutDefault(schema: unknown): unknown {
  const wrapped =
    schema instanceof z.ZodDefault ||
    schema instanceof z.ZodPrefault ||
    schema instanceof z.ZodNullable ||
    schema instanceof z.ZodOptional;
  return wrapped ? withoutDefault(schema.unwrap()) : schema;
}

const TYPE_WORDS: Readonly<Record<string, string>> = {
  array: "a list",
  boolean: "true or false",
  int: "a whole number",
  number: "a number",
  object: "a group of keys",
  string: "text",
};

function allowed(issue: z.core.$ZodIssue): string {
  switch (issue.code) {
    case "invalid_type":
      return TYPE_WORDS[issue.expected] ?? issue.expected;
    case "invalid_value":
      return issue.values.length === 1
        ? `only ${String(issue.values[0])}`
        : `one of ${issue.values.map(String).join(", ")}`;
    case "too_small":
      return `${issue.inclusive ? "at least" : "more than"} ${amount(issue.minimum, issue.origin)}`;
    case "too_big":
      return `${issue.inclusive ? "at most" : "less than"} ${amount(issue.maximum, issue.origin)}`;
    default:
      return issue.message.replace(/^Invalid input: /, "");
  }
}

function amount(bound: number | bigint, origin: string): string {
  const one = Number(bound) === 1;
  if (origin === "string") return `${bound} ${one ? "character" : "characters"}`;
  return origin === "array" ? `${bound} ${one ? "entry" : "entries"}` : String(bound);
}
