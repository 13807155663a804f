/** The command line of a program: what was mistyped is told with what is possible. */
import { type ParseArgsConfig, parseArgs } from "node:util";
import { Refusal } from "./refusal.js";

type Options = NonNullable<ParseArgsConfig["options"]>;

/** A value, although it begins like an option. */
const NEGATIVE_NUMBER = /^-\.?\d/;

/**
 * Values of the options among the arguments after the program's name.
 * @throws {Refusal} code "bad-argument", ending with `usage`
 */
export function readProgramOptions<O extends Options>(argv: readonly string[], options: O, usage: string) {
  try {
    return parseArgs({ args: withNegatives(argv, options), options }).values;
  } catch (error) {
    throw new Refusal("bad-argument", `${complaint(error as Error)} These are possible:\n${usage}`, {
      cause: error,
    });
  }
}

/** "--seed -1" as "--seed=-1", which can be meant in one way only. */
function withNegatives(argv: readonly string[], options: Options): string[] {
  const takesValue = (argument: string | undefined): boolean =>
    argument?.startsWith("--") === true && options[argument.slice(2)]?.type === "string";
  return argv.flatMap((argument, index) => {
    const next = argv[index + 1];
    if (takesValue(argument) && next !== undefined && NEGATIVE_NUMBER.test(next))
      return [`${argument}=${next}`];
    return NEGATIVE_NUMBER.test(argument) && takesValue(argv[index - 1]) ? [] : [argument];
  });
}

/** One sentence; Node's own, where there is more than one, begins with it. */
function complaint({ message }: Error): string {
  const [, option] =
    /^Option '(?:-\w, )?(--[\w-]+)(?: <value>)?' argument (?:is ambiguous|missing)/.exec(message) ?? [];
  if (option) return `${option} needs a value.`;
  const [first] = message.split(/\.\s|\n/);
  return `${first?.replace(/\.$/, "")}.`;
}
