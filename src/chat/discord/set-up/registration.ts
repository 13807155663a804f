/** The commands as the platform is told them: from the one table, and only when they changed. */
import {
  type APIApplicationCommandOption,
  type RESTPostAPIChatInputApplicationCommandsJSONBody,
  ApplicationCommandOptionType as Type,
} from "discord.js";
import type { CommandSpec, OptionSpec } from "../../../commands/command.js";
import type { Api } from "../api.js";
import { fileOption } from "../hear/command-options.js";
import { permissionBit } from "../hear/member-roles.js";
import type { Place } from "../hear/place.js";
import { CHOICES, DESCRIPTION, FILES, OPTIONS, within } from "../limits.js";

type CommandBody = RESTPostAPIChatInputApplicationCommandsJSONBody;

/** What a class's list of commands is made from. */
export interface CommandSource {
  readonly table: readonly CommandSpec[];
  /** Names of the camera's filters. */
  readonly filters: readonly string[];
}

/** All commands for one server, in order of name. */
export function commandBodies(source: CommandSource, place: Place): CommandBody[] {
  const staffBit = permissionBit(place.staffPermission);
  return source.table
    .map((spec) => ({
      name: spec.name,
      description: within(spec.help, DESCRIPTION),
      default_member_permissions: spec.who === "student" ? null : staffBit,
      options: optionBodies(spec.options, source.filters),
    }))
    .sort((a, b) => (a.name < b.name ? -1 : 1));
}

/** Puts the list if it differs from what stands. Returns whether it did. */
export async function registerCommands(
  api: Api,
  applicationId: string,
  place: Place,
  source: CommandSource,
): Promise<boolean> {
  const wanted = commandBodies(source, place);
  const standing = await api.commands(applicationId, place.guildId);
  if (sameCommands(wanted, standing)) return false;
  await api.putCommands(applicationId, place.guildId, wanted);
  return true;
}

/** Whether two lists mean the same commands, whatever the platform added of its own accord. */
export function sameCommands(wanted: readonly object[], standing: readonly object[]): boolean {
  return JSON.stringify(essence(wanted)) === JSON.stringify(essence(standing));
}

function optionBodies(
  options: readonly OptionSpec[],
  filters: readonly string[],
): APIApplicationCommandOption[] {
  const required = options.filter((each) => each.required);
  const others = options.filter((each) => !each.required);
  return [...required, ...others]
    .flatMap(oneEach)
    .slice(0, OPTIONS)
    .map((each) => optionBody(each, filters));
}

/** The platform takes one file for an option: for several there are several. */
function oneEach(spec: OptionSpec): readonly OptionSpec[] {
  if (spec.kind !== "files") return [spec];
  const count = Math.min(spec.most ?? 1, FILES);
  return Array.from({ length: count }, (_, index) => ({ ...spec, name: fileOption(spec.name, index) }));
}

function optionBody(spec: OptionSpec, filters: readonly string[]): APIApplicationCommandOption {
  const base = {
    name: spec.name,
    description: within(spec.help, DESCRIPTION),
    required: spec.required === true,
  };
  switch (spec.kind) {
    case "target":
      return { ...base, type: Type.String, autocomplete: true };
    case "request":
      return { ...base, type: Type.Integer, autocomplete: true, min_value: 1 };
    case "person":
      return { ...base, type: Type.User };
    case "filter":
      return choiceOption(base, filters);
    case "choice":
      return choiceOption(base, spec.choices ?? []);
    case "whole":
      return { ...base, type: Type.Integer, ...range(spec) };
    case "number":
      return { ...base, type: Type.Number, ...range(spec) };
    case "text":
      return {
        ...base,
        type: Type.String,
        autocomplete: spec.completes !== undefined,
        ...(spec.maxLength === undefined ? {} : { max_length: spec.maxLength }),
      };
    case "files":
      return { ...base, type: Type.Attachment };
    case "date":
      return { ...base, type: Type.String, autocomplete: true };
    case "time":
    case "clock":
      return { ...base, type: Type.String };
  }
}

/** A fixed choice where the list is short enough, else plain text that the command checks. */
function choiceOption(
  base: { name: string; description: string; required: boolean },
  choices: readonly string[],
): APIApplicationCommandOption {
  if (choices.length > CHOICES || choices.length === 0) return { ...base, type: Type.String };
  return {
    ...base,
    type: Type.String,
    choices: choices.map((each) => ({ name: each, value: each })),
  };
}

function range({ min, max }: OptionSpec): { min_value?: number; max_value?: number } {
  return {
    ...(min === undefined ? {} : { min_value: min }),
    ...(max === undefined ? {} : { max_value: max }),
  };
}

const ESSENTIAL = new Set([
  "name",
  "description",
  "default_member_permissions",
  "options",
  "type",
  "required",
  "autocomplete",
  "choices",
  "value",
  "min_value",
  "max_value",
  "min_length",
  "max_length",
]);

/** Only the keys we set, in one order, without defaults; commands by name. */
function essence(commands: readonly object[]): unknown {
  const bare = commands.map((each) => strip(each, true) as { name: string });
  return bare.sort((a, b) => (a.name < b.name ? -1 : 1));
}

function strip(value: unknown, isCommand: boolean): unknown {
  if (Array.isArray(value)) return value.map((each) => strip(each, false));
  if (typeof value !== "object" || value === null) return value;
  const entries = Object.entries(value)
    .filter(([key, each]) => ESSENTIAL.has(key) && !isDefault(each) && !(isCommand && key === "type"))
    .sort(([a], [b]) => (a < b ? -1 : 1));
  return Object.fromEntries(entries.map(([key, each]) => [key, strip(each, false)]));
}

function isDefault(value: unknown): boolean {
  return (
    value === null || value === undefined || value === false || (Array.isArray(value) && value.length === 0)
  );
}
