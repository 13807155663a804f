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

/**
 * Option values by name.
 * @throws {Refusal} codes "stale-option" (no such option any more), "wrong-option-type"
 */
export function readInteractionOptions(
  spec: CommandSpec,
  options: readonly APIApplicationCommandInteractionDataOption[] | undefined,
): RawOptions {
  const values: Record<string, string | number> = {};
  for (const option of options ?? []) {
    const known = spec.options.find((each) => each.name === option.name);
    if (!known)
      throw new Refusal(
        "stale-option",
        `/${spec.name} no longer has the option "${String(option.name).slice(0, 32)}". ${RELOAD}`,
      );
    values[known.name] = optionValue(spec, known, option);
  }
  return values;
}

function optionValue(
  spec: CommandSpec,
  known: OptionSpec,
  option: APIApplicationCommandInteractionDataOption,
): string | number {
  const value: unknown = "value" in option ? option.value : undefined;
  if (known.kind === "person" && typeof value === "string" && isAccount(value)) return personIdOf(value);
  const isFile = option.type === Type.Attachment;
  if (!isFile && (typeof value === "string" || (typeof value === "number" && Number.isFinite(value))))
    return value;
  const wanted = { whole: "a whole number", number: "a number", request: "a number" } as Partial<
    Record<OptionSpec["kind"], string>
  >;
  throw new Refusal(
    "wrong-option-type",
    `The ${known.name} of /${spec.name} must be ${wanted[known.kind] ?? "text"}: type, for example, ${spec.examples[0]}. ${RELOAD}`,
  );
}
