/** Commands inside answers, as each reader types or fills them in. */
import { type TypedPart, typed } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import type { CommandSpec, RawOptions } from "../command.js";
import { parseLine } from "../read/parse-text.js";

/**
 * A command line with the same as a form: "/alerts quiet=off" and "/alerts quiet:off".
 * @param options what the line gives, by name
 */
export function example(line: string, options: RawOptions): TypedPart {
  const name = line.split(" ", 1)[0] as string;
  const given = Object.entries(options).filter(([, value]) => value !== undefined);
  return typed(line, [name, ...given.map(([option, value]) => `${option}:${value}`)].join(" "));
}

/** The same of a line whose options are read from it. */
export function exampleOf(line: string, table: readonly CommandSpec[]): TypedPart {
  try {
    return example(line, parseLine(line, table).options);
  } catch (error) {
    if (error instanceof Refusal) return typed(line, line);
    throw error;
  }
}
