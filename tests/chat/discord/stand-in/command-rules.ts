/** Registered commands: the documented limits, and the list of a server read and replaced. */
import type {
  APIApplicationCommand,
  APIApplicationCommandBasicOption,
  RESTPutAPIApplicationGuildCommandsJSONBody,
} from "discord-api-types/v10";
import { ApplicationCommandOptionType, ApplicationCommandType } from "discord-api-types/v10";
import { invalidForm, missingAccess, unknownGuild } from "./api-error.js";
import type { Guild, World } from "./world.js";

const NAME = /^[-_\p{Ll}\p{Lo}\p{N}]{1,32}$/u;

export class Commands {
  /** Servers whose invitation left out the scope for commands. */
  readonly forbidden = new Set<string>();

  constructor(private readonly world: World) {}

  guild(id: string): Guild {
    const guild = this.world.guilds.get(id);
    if (!guild?.members.has(this.world.bot.id)) throw unknownGuild();
    return guild;
  }

  /** GET …/commands. @throws {ApiError} 50001 where the bot may have none */
  list(guildId: string): APIApplicationCommand[] {
    return this.allowed(guildId).commands;
  }

  /** PUT …/commands: replaces the whole list. @throws {ApiError} 50001 likewise, 50035 */
  replace(guildId: string, bodies: RESTPutAPIApplicationGuildCommandsJSONBody): APIApplicationCommand[] {
    const guild = this.allowed(guildId);
    if (bodies.length > 100) throw invalidForm("commands", "At most 100 commands.");
    distinct(
      "name",
      bodies.map((body) => body.name),
    );
    guild.commands = bodies.map((body) => {
      const options = "options" in body ? (body.options ?? []) : [];
      checkCommand(body.name, "description" in body ? (body.description ?? "") : "", options);
      return {
        ...body,
        id: this.world.ids.next(),
        type: ApplicationCommandType.ChatInput,
        application_id: this.world.applicationId,
        guild_id: guildId,
        version: this.world.ids.next(),
        default_member_permissions: body.default_member_permissions ?? null,
        nsfw: false,
        // What the API adds of its own accord when a list is read back.
        name_localizations: body.name_localizations ?? null,
        options: options.map((each) => ({ ...each })),
      } as APIApplicationCommand;
    });
    guild.commandPuts++;
    return guild.commands;
  }

  private allowed(guildId: string): Guild {
    const guild = this.world.guilds.get(guildId);
    if (!guild?.members.has(this.world.bot.id) || this.forbidden.has(guildId)) throw missingAccess();
    return guild;
  }
}

/** Characters of a command's name, description, options and choices together. */
const COMMAND_TOTAL = 8_000;

function checkCommand(name: string, description: string, options: readonly object[]): void {
  if (!NAME.test(name)) throw invalidForm("name", `Command name is invalid: ${name}`);
  text("description", description);
  if (options.length > 25) throw invalidForm("options", "At most 25 options.");
  const typed = options as APIApplicationCommandBasicOption[];
  distinct(
    "options.name",
    typed.map((option) => option.name),
  );
  let optionalSeen = false;
  for (const option of typed) {
    if (!NAME.test(option.name)) throw invalidForm("options.name", `Option name is invalid: ${option.name}`);
    text("options.description", option.description);
    if (option.required && optionalSeen)
      throw invalidForm("options", "Required options must be placed before non-required options.");
    optionalSeen ||= !option.required;
    checkChoices(option);
    checkRanges(option as Ranged);
  }
  const total = typed.reduce(
    (sum, each) => sum + each.name.length + each.description.length + lengthOf(choicesOf(each)),
    name.length + description.length,
  );
  if (total > COMMAND_TOTAL) throw invalidForm("command", `A command may hold ${COMMAND_TOTAL} characters.`);
}

interface Choice {
  readonly name: string;
  readonly value: string | number;
}

function choicesOf(option: APIApplicationCommandBasicOption): readonly Choice[] {
  return "choices" in option ? (option.choices ?? []) : [];
}

function lengthOf(choices: readonly Choice[]): number {
  return choices.reduce((sum, each) => sum + each.name.length + String(each.value).length, 0);
}

function checkChoices(option: APIApplicationCommandBasicOption): void {
  const choices = choicesOf(option);
  if (choices.length > 25) throw invalidForm("options.choices", "At most 25 choices.");
  if (choices.length > 0 && "autocomplete" in option && option.autocomplete)
    throw invalidForm("options", "Choices and autocomplete are mutually exclusive.");
  distinct(
    "options.choices.name",
    choices.map((each) => each.name),
  );
  distinct(
    "options.choices.value",
    choices.map((each) => each.value),
  );
  for (const { name, value } of choices) {
    text("options.choices.name", name);
    if (typeof value === "string") text("options.choices.value", value);
    if ((option.type === ApplicationCommandOptionType.String) !== (typeof value === "string"))
      throw invalidForm("options.choices.value", "This is no value for the option's type.");
  }
}

interface Ranged {
  readonly type: ApplicationCommandOptionType;
  readonly min_value?: number;
  readonly max_value?: number;
  readonly min_length?: number;
  readonly max_length?: number;
}

function checkRanges({ type, min_value, max_value, min_length, max_length }: Ranged): void {
  const { Integer, Number: Real, String: Text } = ApplicationCommandOptionType;
  const [least, most] = [min_value ?? -Number.MAX_VALUE, max_value ?? Number.MAX_VALUE];
  const values = [min_value, max_value].filter((each) => each !== undefined);
  if (values.length > 0 && type !== Integer && type !== Real)
    throw invalidForm("options.min_value", "Only numbers have a least and a greatest value.");
  if (values.some((each) => Math.abs(each) > Number.MAX_SAFE_INTEGER) || least > most)
    throw invalidForm("options.max_value", "This range is no range.");
  if (type === Integer && values.some((each) => !Number.isInteger(each)))
    throw invalidForm("options.min_value", "Whole numbers only.");
  const lengths = [min_length, max_length].filter((each) => each !== undefined);
  if (lengths.length > 0 && type !== Text)
    throw invalidForm("options.max_length", "Only texts have a length.");
  if (lengths.some((each) => each < 0 || each > 6_000) || max_length === 0)
    throw invalidForm("options.max_length", "Must be between 1 and 6000.");
  if ((min_length ?? 0) > (max_length ?? 6_000))
    throw invalidForm("options.max_length", "This range is no range.");
}

function distinct(path: string, values: readonly unknown[]): void {
  if (new Set(values).size < values.length) throw invalidForm(path, "The set already contains this value.");
}

function text(path: string, value: string): void {
  if (value.length < 1 || value.length > 100) throw invalidForm(path, "Must be between 1 and 100 in length.");
}
