/** The command line of a program: what was mistyped is told with what is possible. */
import { type ParseArgsConfig, parseArgs } from "node:util";
import { Refusal } from "./refusal.js";

type Options = NonNullable<ParseArgsConfig["options"]>;

/**
 * Values of the options among the arguments after the program's name.
 * @throws {Refusal} code "bad-argument", ending with `usage`
 */
export function readOptions<O extends Options>(argv: readonly string[], options: O, usage: string) {
  try {
    return parseArgs({ args: [...argv], options }).values;
  } catch (error) {
    const what = (error as Error).message.split(". ")[0];
    throw new Refusal("bad-argument", `${what}. These are possible:\n${usage}`, { cause: error });
  }
}
