/** Options as they arrive in an interaction, read against the table: old and odd apps send what they like. */
import {
  type APIApplicationCommandInteractionDataOption,
  ApplicationCommandOptionType as Type,
} from "discord.js";
import { Refusal } from "../../../base/refusal.js";
import type { CommandSpec, OptionSpec, RawOptions } from "../../../commands/command.js";
import { isAccount, personIdOf } from "./place.js";

/** Said wherever an app shows a list of commands that is no longer true. */
export const RELOAD =
  "Your app may show an old list of commands: close Discord, open it again, and try once more.";

/** What the option for a file of several is called: "frames", "frames2". */
export function fileOption(name: string, index: number): string {
  return index === 0 ? name : `${name}${index + 1}`;
}

/**
 * Option values by name; of files, their ids with commas between.
 * @throws {Refusal} codes "stale-option" (no such option any more), "wrong-option-type"
 */
export function readInteractionOptions(
  spec: CommandSpec,
  options: readonly APIApplicationCommandInteractionDataOption[] | undefined,
): RawOptions {
  const values: Record<string, string | number> = {};
  for (const option of options ?? []) {
    const known = spec.options.find((each) => isFor(each, String(option.name)));
    if (!known)
      throw new Refusal(
        "stale-option",
        `/${spec.name} no longer has the option "${String(option.name).slice(0, 32)}". ${RELOAD}`,
      );
    const value = optionValue(spec, known, option);
    const before = known.kind === "files" ? values[known.name] : undefined;
    values[known.name] = before === undefined ? value : `${before},${value}`;
  }
  return values;
}

function isFor({ kind, name }: OptionSpec, given: string): boolean {
  return (
    given === name || (kind === "files" && given.startsWith(name) && /^\d+$/.test(given.slice(name.length)))
  );
}

function optionValue(
  spec: CommandSpec,
  known: OptionSpec,
  option: APIApplicationCommandInteractionDataOption,
): string | number {
  const value: unknown = "value" in option ? option.value : undefined;
  if (known.kind === "person" && typeof value === "string" && isAccount(value)) return personIdOf(value);
  const isFile = option.type === Type.Attachment;
  const isWanted = isFile === (known.kind === "files");
  if (isWanted && (typeof value === "string" || (typeof value === "number" && Number.isFinite(value))))
    return value;
  const wanted = {
    whole: "a whole number",
    number: "a number",
    request: "a number",
    files: "a file",
  } as Partial<Record<OptionSpec["kind"], string>>;
  throw new Refusal(
    "wrong-option-type",
    `The ${known.name} of /${spec.name} must be ${wanted[known.kind] ?? "text"}: type, for example, ${spec.examples[0]}. ${RELOAD}`,
  );
}
