/** What exists in the stand-in: servers, channels, roles, people, messages. Plain data, changed by whoever holds it. */
import type {
  APIApplicationCommand,
  APIEmbed,
  APIMessageTopLevelComponent,
  APIOverwrite,
  APIRole,
  APIUser,
} from "discord-api-types/v10";
import { ChannelType, PermissionFlagsBits } from "discord-api-types/v10";
import type { UtcMillis } from "../../../../src/base/units.js";
import { SnowflakeMaker } from "./snowflake.js";

export interface StoredAttachment {
  readonly id: string;
  readonly filename: string;
  readonly description: string | null;
  readonly size: number;
  readonly bytes: Uint8Array;
}

/** A file that somebody attaches to a command. */
export interface Upload {
  readonly filename: string;
  readonly bytes: Uint8Array;
  /** What is said of its size; its own unless given. */
  readonly size?: number;
  /** Where it is said to lie; on the file server unless given. */
  readonly url?: string;
}

export interface StoredMessage {
  readonly id: string;
  readonly channelId: string;
  readonly authorId: string;
  content: string;
  embeds: APIEmbed[];
  components: APIMessageTopLevelComponent[];
  attachments: StoredAttachment[];
  flags: number;
  /** People who were really notified: named in the text and allowed by `allowed_mentions`. */
  mentions: string[];
  mentionEveryone: boolean;
  readonly nonce: string | null;
  readonly createdUnixMs: UtcMillis;
  editedUnixMs: UtcMillis | null;
  /** How often it was edited. */
  edits: number;
}

export interface Channel {
  readonly id: string;
  readonly guildId: string | null;
  readonly name: string;
  readonly type: ChannelType.GuildText | ChannelType.PublicThread | ChannelType.DM;
  /** For a thread: the channel it hangs on. */
  readonly parentId: string | null;
  overwrites: APIOverwrite[];
  /** For a direct-message channel: the other person. */
  readonly recipientId: string | null;
  /** Oldest first. */
  readonly messages: StoredMessage[];
}

export interface Member {
  readonly userId: string;
  nick: string | null;
  roles: string[];
}

export interface Guild {
  readonly id: string;
  readonly name: string;
  readonly ownerId: string;
  premiumTier: 0 | 1 | 2 | 3;
  /** The role with the guild's own id is @everyone. */
  readonly roles: Map<string, APIRole>;
  readonly members: Map<string, Member>;
  readonly channelIds: string[];
  commands: APIApplicationCommand[];
  /** How often the whole list was put. */
  commandPuts: number;
}

/** What @everyone may do in a new server. */
const EVERYONE =
  PermissionFlagsBits.ViewChannel |
  PermissionFlagsBits.SendMessages |
  PermissionFlagsBits.EmbedLinks |
  PermissionFlagsBits.AttachFiles |
  PermissionFlagsBits.ReadMessageHistory |
  PermissionFlagsBits.UseApplicationCommands;

export class World {
  readonly ids: SnowflakeMaker;
  readonly users = new Map<string, APIUser>();
  readonly guilds = new Map<string, Guild>();
  readonly channels = new Map<string, Channel>();
  /** On the file server, by what comes after its address. */
  readonly files = new Map<string, Uint8Array>();
  fileServer = "";
  /** People whose settings refuse direct messages from the bot. */
  readonly refusesDirect = new Set<string>();
  /** The platform takes the bot's direct messages to be unwanted. */
  directStopped = false;
  /** Direct-message channels that may still be opened for the first time. */
  directOpenings = Number.POSITIVE_INFINITY;
  readonly bot: APIUser;
  readonly applicationId: string;

  constructor(
    readonly now: () => UtcMillis,
    readonly token: string,
  ) {
    this.ids = new SnowflakeMaker(now);
    this.applicationId = this.ids.next();
    this.bot = this.addUser("nightslate", this.applicationId);
    this.bot.bot = true;
  }

  addUser(username: string, id = this.ids.next()): APIUser {
    const user: APIUser = { id, username, discriminator: "0", global_name: null, avatar: null };
    this.users.set(id, user);
    return user;
  }

  /** A new server with the bot in it, @everyone able to talk, and an owner who may do everything. */
  addGuild(name: string): Guild {
    const id = this.ids.next();
    const owner = this.addUser(`${name.toLowerCase().replaceAll(/\W/g, "-")}-owner`);
    const guild: Guild = {
      id,
      name,
      ownerId: owner.id,
      premiumTier: 0,
      roles: new Map([[id, role(id, "@everyone", EVERYONE, 0)]]),
      members: new Map(),
      channelIds: [],
      commands: [],
      commandPuts: 0,
    };
    this.guilds.set(id, guild);
    this.addMember(guild, owner.id);
    this.addMember(guild, this.bot.id);
    return guild;
  }

  addRole(guild: Guild, name: string, permissions = 0n): APIRole {
    const added = role(this.ids.next(), name, permissions, guild.roles.size);
    guild.roles.set(added.id, added);
    return added;
  }

  addMember(guild: Guild, userId: string, roles: string[] = []): Member {
    const member: Member = { userId, nick: null, roles };
    guild.members.set(userId, member);
    return member;
  }

  /** A thread of a channel, seen by those who see the channel. */
  addThread(parent: Channel, name: string): Channel {
    const thread: Channel = {
      ...parent,
      id: this.ids.next(),
      name,
      type: ChannelType.PublicThread,
      parentId: parent.id,
      messages: [],
    };
    this.channels.set(thread.id, thread);
    return thread;
  }

  addChannel(guild: Guild, name: string): Channel {
    const channel: Channel = {
      id: this.ids.next(),
      guildId: guild.id,
      name,
      type: ChannelType.GuildText,
      parentId: null,
      overwrites: [],
      recipientId: null,
      messages: [],
    };
    this.channels.set(channel.id, channel);
    guild.channelIds.push(channel.id);
    return channel;
  }

  /** The direct-message channel with a person, where one has been opened. */
  openDirectChannel(userId: string): Channel | undefined {
    return [...this.channels.values()].find((each) => each.recipientId === userId);
  }

  /** The direct-message channel with a person, opened when first asked for. */
  directChannel(userId: string): Channel {
    const open = this.openDirectChannel(userId);
    if (open) return open;
    const channel: Channel = {
      id: this.ids.next(),
      guildId: null,
      name: "",
      type: ChannelType.DM,
      parentId: null,
      overwrites: [],
      recipientId: userId,
      messages: [],
    };
    this.channels.set(channel.id, channel);
    return channel;
  }
}

function role(id: string, name: string, permissions: bigint, position: number): APIRole {
  return {
    id,
    name,
    color: 0,
    colors: { primary_color: 0, secondary_color: null, tertiary_color: null },
    hoist: false,
    position,
    permissions: permissions.toString(),
    managed: false,
    mentionable: false,
    flags: 0,
  } as unknown as APIRole;
}
