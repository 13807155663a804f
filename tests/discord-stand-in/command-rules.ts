/** Registered commands: the documented limits, and the list of a server read and replaced. */
import type {
  APIApplicationCommand,
  APIApplicationCommandBasicOption,
  RESTPutAPIApplicationGuildCommandsJSONBody,
} from "discord-api-types/v10";
import { ApplicationCommandType } from "discord-api-types/v10";
import { invalidForm, unknownGuild } from "./api-error.js";
import type { Guild, World } from "./world.js";

const NAME = /^[-_\p{Ll}\p{Lo}\p{N}]{1,32}$/u;

export class Commands {
  constructor(private readonly world: World) {}

  guild(id: string): Guild {
    const guild = this.world.guilds.get(id);
    if (!guild?.members.has(this.world.bot.id)) throw unknownGuild();
    return guild;
  }

  list(guildId: string): APIApplicationCommand[] {
    return this.guild(guildId).commands;
  }

  /** PUT …/commands: replaces the whole list. */
  replace(guildId: string, bodies: RESTPutAPIApplicationGuildCommandsJSONBody): APIApplicationCommand[] {
    const guild = this.guild(guildId);
    if (bodies.length > 100) throw invalidForm("commands", "At most 100 commands.");
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
}

function checkCommand(name: string, description: string, options: readonly object[]): void {
  if (!NAME.test(name)) throw invalidForm("name", `Command name is invalid: ${name}`);
  text("description", description);
  if (options.length > 25) throw invalidForm("options", "At most 25 options.");
  let optionalSeen = false;
  const names = new Set<string>();
  for (const option of options as APIApplicationCommandBasicOption[]) {
    if (!NAME.test(option.name)) throw invalidForm("options.name", `Option name is invalid: ${option.name}`);
    if (names.has(option.name)) throw invalidForm("options.name", "Option names must be unique.");
    names.add(option.name);
    text("options.description", option.description);
    if (option.required && optionalSeen)
      throw invalidForm("options", "Required options must be placed before non-required options.");
    optionalSeen ||= !option.required;
    checkChoices(option);
  }
}

function checkChoices(option: APIApplicationCommandBasicOption): void {
  const choices = "choices" in option ? (option.choices ?? []) : [];
  if (choices.length > 25) throw invalidForm("options.choices", "At most 25 choices.");
  if (choices.length > 0 && "autocomplete" in option && option.autocomplete)
    throw invalidForm("options", "Choices and autocomplete are mutually exclusive.");
  for (const choice of choices) {
    if (choice.name.length < 1 || choice.name.length > 100)
      throw invalidForm("options.choices.name", "Must be between 1 and 100 in length.");
  }
}

function text(path: string, value: string): void {
  if (value.length < 1 || value.length > 100) throw invalidForm(path, "Must be between 1 and 100 in length.");
}
