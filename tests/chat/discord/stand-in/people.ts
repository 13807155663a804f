/** People at their phones: they type commands, see suggestions and press buttons as the app lets them. */
import type {
  APIApplicationCommand,
  APIApplicationCommandBasicOption,
  APIApplicationCommandInteractionDataOption,
  APIButtonComponentWithCustomId,
} from "discord-api-types/v10";
import {
  ApplicationCommandOptionType,
  ApplicationCommandType,
  ComponentType,
  GatewayIntentBits,
  InteractionType,
  MessageFlags,
} from "discord-api-types/v10";
import type { Gateway } from "./gateway.js";
import type { Interaction, Interactions } from "./interactions.js";
import type { Messages } from "./messages.js";
import { channelPermissions, guildPermissions } from "./permissions.js";
import { apiChannel, apiMember } from "./shapes.js";
import type { Channel, Guild, StoredMessage, Upload, World } from "./world.js";

type Typed = Record<string, string | number | boolean | Upload>;
type RawOption = APIApplicationCommandInteractionDataOption<never> | object;

export interface SlashOptions {
  readonly channel?: Channel;
  /** The event arrives this many times. */
  readonly deliveries?: number;
  /** The person's app language. */
  readonly locale?: string;
}

export interface PeopleParts {
  readonly world: World;
  readonly gateway: Gateway;
  readonly interactions: Interactions;
  readonly messages: Messages;
}

/** One person in one server. */
export class Person {
  constructor(
    private readonly parts: PeopleParts,
    readonly guild: Guild,
    readonly userId: string,
  ) {}

  get mention(): string {
    return `<@${this.userId}>`;
  }

  /** The commands that this person's app offers. */
  offered(): APIApplicationCommand[] {
    const held = guildPermissions(this.guild, this.userId);
    return this.guild.commands.filter((command) => {
      const needed = command.default_member_permissions;
      return (
        needed === null ||
        (BigInt(needed) !== 0n && (held & BigInt(needed)) === BigInt(needed)) ||
        this.isOwner()
      );
    });
  }

  /**
   * Types a command with options, as the app allows.
   * @throws when the app does not offer the command or the option, or the value has the wrong type
   */
  slash(name: string, typed: Typed = {}, options: SlashOptions = {}): Interaction {
    const command = this.offered().find((each) => each.name === name);
    if (!command) throw new Error(`the app offers no /${name} to this person`);
    const files = new Map<string, Upload>();
    const filled = Object.entries(typed).map(([key, value]) => {
      if (typeof value !== "object") return fill(command, key, value);
      const id = this.parts.world.ids.next();
      files.set(id, value);
      return fill(command, key, id, ApplicationCommandOptionType.Attachment);
    });
    const data = this.command(command.id, name, filled, this.attached(files));
    return this.send(InteractionType.ApplicationCommand, data, options);
  }

  /** Writes to the bot alone; the platform hands that on to bots that listen to direct messages. */
  write(content: string, deliveries = 1): void {
    const { world, gateway } = this.parts;
    const listens = (gateway.identified.at(-1)?.intents ?? 0) & GatewayIntentBits.DirectMessages;
    if (!listens) return;
    const message = {
      id: world.ids.next(),
      channel_id: world.directChannel(this.userId).id,
      author: world.users.get(this.userId),
      content,
      type: 0,
    };
    for (let time = 0; time < deliveries; time++) gateway.dispatch("MESSAGE_CREATE", message);
  }

  /** The files of a command lie on the file server before it is sent. */
  private attached(files: ReadonlyMap<string, Upload>): object {
    const attachments = [...files].map(([id, { filename, bytes, size = bytes.length, url }]) => {
      this.parts.world.files.set(`${id}/${filename}`, bytes);
      const at = url ?? `${this.parts.world.fileServer}/ephemeral-attachments/${id}/${filename}`;
      return [id, { id, filename, size, url: at, proxy_url: at, ephemeral: true }];
    });
    return attachments.length > 0 ? { attachments: Object.fromEntries(attachments) } : {};
  }

  /** Sends a command exactly as given, as an old or odd app might. */
  slashRaw(name: string, raw: RawOption[], options: SlashOptions = {}): Interaction {
    const id = this.guild.commands.find((each) => each.name === name)?.id ?? this.parts.world.ids.next();
    return this.send(InteractionType.ApplicationCommand, this.command(id, name, raw), options);
  }

  /** Types into an option that offers suggestions. */
  typeInto(
    name: string,
    option: string,
    text: string,
    others: Record<string, string | number> = {},
    options: SlashOptions = {},
  ): Interaction {
    const command = this.offered().find((each) => each.name === name);
    const spec = command && specOf(command, option);
    if (!command || !spec || !("autocomplete" in spec) || !spec.autocomplete)
      throw new Error(`the app offers no suggestions for ${option} of /${name}`);
    const filled = [
      ...Object.entries(others).map(([key, value]) => fill(command, key, value)),
      { name: option, type: spec.type, value: text, focused: true },
    ];
    return this.send(
      InteractionType.ApplicationCommandAutocomplete,
      this.command(command.id, name, filled),
      options,
    );
  }

  /** Presses a button of a message, by its label. */
  press(message: StoredMessage, label: string, options: SlashOptions = {}): Interaction {
    const buttons = buttonsOf(message);
    const button = buttons.find((each) => each.label === label);
    if (!button)
      throw new Error(`no button “${label}”; there are: ${buttons.map((each) => each.label).join(", ")}`);
    return this.pressId(message, button.custom_id, options);
  }

  pressId(message: StoredMessage, customId: string, options: SlashOptions = {}): Interaction {
    const channel = options.channel ?? this.parts.messages.channel(message.channelId);
    const data = { custom_id: customId, component_type: ComponentType.Button };
    return this.send(InteractionType.MessageComponent, data, { ...options, channel }, message);
  }

  private isOwner(): boolean {
    return this.guild.ownerId === this.userId;
  }

  private command(id: string, name: string, options: RawOption[], attached: object = {}): object {
    const { world } = this.parts;
    const named = (options as { type?: number; value?: string }[])
      .filter((each) => each.type === ApplicationCommandOptionType.User)
      .flatMap((each) => world.users.get(each.value ?? "") ?? []);
    const users = Object.fromEntries(named.map((user) => [user.id, user]));
    const members = Object.fromEntries(
      named.flatMap(({ id: userId }) => {
        const member = this.guild.members.get(userId);
        if (!member) return [];
        const { user: _, ...shown } = apiMember(world, this.guild, member);
        return [[userId, { ...shown, permissions: guildPermissions(this.guild, userId).toString() }]];
      }),
    );
    const isEmpty = named.length === 0 && Object.keys(attached).length === 0;
    const resolved = isEmpty ? {} : { resolved: { users, members, ...attached } };
    return {
      id,
      name,
      type: ApplicationCommandType.ChatInput,
      options,
      guild_id: this.guild.id,
      ...resolved,
    };
  }

  private send(
    type: InteractionType,
    data: object,
    { channel = this.firstChannel(), deliveries = 1, locale = "en-US" }: SlashOptions,
    pressedOn: StoredMessage | null = null,
  ): Interaction {
    const { world, interactions, gateway, messages } = this.parts;
    const interaction = interactions.open(channel, pressedOn);
    const payload = {
      id: interaction.id,
      application_id: world.applicationId,
      type,
      token: interaction.token,
      version: 1,
      data,
      channel: apiChannel(channel),
      channel_id: channel.id,
      locale,
      entitlements: [],
      authorizing_integration_owners: { 0: this.guild.id },
      context: channel.guildId === null ? 1 : 0,
      app_permissions: channelPermissions(this.guild, channel, world.bot.id).toString(),
      attachment_size_limit: messages.limitFor(channel),
      ...(pressedOn ? { message: messages.toApi(pressedOn) } : {}),
      ...(channel.guildId === null ? this.asUser() : this.asMember(channel)),
    };
    interaction.payload = payload;
    for (let time = 0; time < deliveries; time++) gateway.dispatch("INTERACTION_CREATE", payload);
    return interaction;
  }

  private asUser(): object {
    return { user: this.parts.world.users.get(this.userId) };
  }

  private asMember(channel: Channel): object {
    const member = this.guild.members.get(this.userId) ?? { userId: this.userId, nick: null, roles: [] };
    const permissions = channelPermissions(this.guild, channel, this.userId).toString();
    return {
      guild_id: this.guild.id,
      guild_locale: "en-US",
      guild: { id: this.guild.id, locale: "en-US", features: [] },
      member: { ...apiMember(this.parts.world, this.guild, member), permissions, pending: false },
    };
  }

  private firstChannel(): Channel {
    return this.parts.messages.channel(this.guild.channelIds[0] as string);
  }
}

/** The buttons of a message, in order. */
export function buttonsOf(message: StoredMessage): APIButtonComponentWithCustomId[] {
  return message.components.flatMap((row) =>
    row.type === ComponentType.ActionRow
      ? (row.components as unknown as APIButtonComponentWithCustomId[])
      : [],
  );
}

/** Whether only one person sees a message. */
export function isEphemeral(message: StoredMessage): boolean {
  return (message.flags & MessageFlags.Ephemeral) !== 0;
}

function specOf(
  command: APIApplicationCommand,
  option: string,
): APIApplicationCommandBasicOption | undefined {
  return (command.options as APIApplicationCommandBasicOption[] | undefined)?.find(
    (each) => each.name === option,
  );
}

function fill(
  command: APIApplicationCommand,
  name: string,
  value: string | number | boolean,
  kind?: ApplicationCommandOptionType.Attachment,
): object {
  const spec = specOf(command, name);
  if (!spec) throw new Error(`/${command.name} has no option ${name}`);
  const numeric =
    spec.type === ApplicationCommandOptionType.Integer || spec.type === ApplicationCommandOptionType.Number;
  const isFile = spec.type === ApplicationCommandOptionType.Attachment;
  if (numeric !== (typeof value === "number") || isFile !== (kind !== undefined))
    throw new Error(`the app takes no ${kind ? "file" : typeof value} for ${name} of /${command.name}`);
  return { name, type: spec.type, value };
}
