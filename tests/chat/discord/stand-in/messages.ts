/** Posting, editing, finding and removing messages, with the nonce's documented behaviour. */
import type { APIMessage } from "discord-api-types/v10";
import { MessageFlags, MessageType, PermissionFlagsBits } from "discord-api-types/v10";
import { MINUTE } from "../../../../src/base/units.js";
import { cannotMessageUser, notTheAuthor, unknownChannel, unknownMessage } from "./api-error.js";
import {
  checkMessage,
  checkUploads,
  MESSAGE_FLAGS,
  type MessageBody,
  notified,
  type UploadedFile,
  uploadLimit,
} from "./message-rules.js";
import { holdsInChannel, requireInChannel } from "./permissions.js";
import type { Channel, StoredAttachment, StoredMessage, World } from "./world.js";

/** "Checked for uniqueness in the past few minutes": how long a nonce is remembered here. */
export const NONCE_LIFE_MS = 3 * MINUTE;

export class Messages {
  /** Bytes of files refused or kept are counted against this when set (tests make it small). */
  uploadLimitBytes: number | null = null;

  constructor(private readonly world: World) {}

  channel(id: string): Channel {
    const channel = this.world.channels.get(id);
    if (!channel) throw unknownChannel();
    return channel;
  }

  /** GET /channels/{id}. */
  seen(id: string): Channel {
    const channel = this.channel(id);
    requireInChannel(this.world, channel, 0n);
    return channel;
  }

  /** GET /channels/{id}/messages/{id}. */
  one(channelId: string, messageId: string): StoredMessage {
    requireInChannel(this.world, this.channel(channelId), PermissionFlagsBits.ReadMessageHistory);
    return this.find(channelId, messageId);
  }

  find(channelId: string, messageId: string): StoredMessage {
    const message = this.channel(channelId).messages.find((each) => each.id === messageId);
    if (!message) throw unknownMessage();
    return message;
  }

  /** POST /channels/{id}/messages. A nonce that is enforced and known answers with the first message. */
  post(channelId: string, body: MessageBody, files: readonly UploadedFile[]): StoredMessage {
    const channel = this.channel(channelId);
    requireInChannel(this.world, channel, neededToPost(body, files));
    if (channel.recipientId !== null && this.refuses(channel.recipientId)) throw cannotMessageUser();
    checkMessage(body, files, MESSAGE_FLAGS);
    checkUploads(files, this.limitFor(channel));
    const first = body.enforce_nonce ? this.withNonce(String(body.nonce)) : undefined;
    if (first) return first;
    return this.store(channel, body, files);
  }

  /** Adds a message without asking for permission (answers to interactions are not bound by the channel's). */
  store(channel: Channel, body: MessageBody, files: readonly UploadedFile[]): StoredMessage {
    const told = notified(body.content ?? "", body.allowed_mentions);
    const message: StoredMessage = {
      id: this.world.ids.next(),
      channelId: channel.id,
      authorId: this.world.bot.id,
      content: body.content ?? "",
      embeds: body.embeds ?? [],
      components: body.components ?? [],
      attachments: this.attachmentsOf(body, files),
      flags: body.flags ?? 0,
      mentions: told.users,
      mentionEveryone: told.everyone,
      nonce: body.nonce === undefined ? null : String(body.nonce),
      createdUnixMs: this.world.now(),
      editedUnixMs: null,
      edits: 0,
    };
    channel.messages.push(message);
    return message;
  }

  /** PATCH /channels/{id}/messages/{id}. */
  edit(
    channelId: string,
    messageId: string,
    body: MessageBody,
    files: readonly UploadedFile[],
  ): StoredMessage {
    const channel = this.channel(channelId);
    requireInChannel(this.world, channel, 0n);
    const message = this.find(channelId, messageId);
    if (message.authorId !== this.world.bot.id) throw notTheAuthor();
    checkUploads(files, this.limitFor(channel));
    this.change(message, body, files);
    return message;
  }

  /** Applies an edit: a field that is left out stays as it was. */
  change(message: StoredMessage, body: MessageBody, files: readonly UploadedFile[]): void {
    const merged = { content: message.content, embeds: message.embeds, ...body };
    const standing = message.attachments.map((each) => each.id);
    checkMessage(merged as MessageBody, files, MessageFlags.SuppressEmbeds, standing);
    if (body.content !== undefined) message.content = body.content ?? "";
    if (body.embeds !== undefined) message.embeds = body.embeds;
    if (body.components !== undefined) message.components = body.components;
    const kept = body.attachments
      ? message.attachments.filter((each) => body.attachments?.some((named) => String(named.id) === each.id))
      : message.attachments;
    message.attachments = [...kept, ...this.attachmentsOf(body, files)];
    message.editedUnixMs = this.world.now();
    message.edits++;
  }

  /** GET /channels/{id}/messages: newest first; none where the bot may not read the history (documented). */
  history(channelId: string, query: { limit?: string; before?: string; after?: string }): StoredMessage[] {
    const channel = this.channel(channelId);
    requireInChannel(this.world, channel, 0n);
    if (!holdsInChannel(this.world, channel, PermissionFlagsBits.ReadMessageHistory)) return [];
    const most = Math.min(100, Math.max(1, Number(query.limit ?? 50)));
    const within = channel.messages.filter(
      (each) =>
        (query.before === undefined || BigInt(each.id) < BigInt(query.before)) &&
        (query.after === undefined || BigInt(each.id) > BigInt(query.after)),
    );
    return query.after === undefined ? within.slice(-most).reverse() : within.slice(0, most).reverse();
  }

  remove(channelId: string, messageId: string): void {
    const { messages } = this.seen(channelId);
    const index = messages.findIndex((each) => each.id === messageId);
    if (index < 0) throw unknownMessage();
    messages.splice(index, 1);
  }

  limitFor(channel: Channel): number {
    const guild = channel.guildId === null ? undefined : this.world.guilds.get(channel.guildId);
    return this.uploadLimitBytes ?? uploadLimit(guild?.premiumTier ?? 0);
  }

  /** People who refuse, or share no server with the bot, cannot be written to. */
  private refuses(userId: string): boolean {
    const shared = [...this.world.guilds.values()].some((guild) => guild.members.has(userId));
    return this.world.refusesDirect.has(userId) || !shared;
  }

  private withNonce(nonce: string): StoredMessage | undefined {
    const since = this.world.now() - NONCE_LIFE_MS;
    for (const channel of this.world.channels.values())
      for (const each of channel.messages)
        if (each.nonce === nonce && each.createdUnixMs >= since) return each;
    return undefined;
  }

  private attachmentsOf(body: MessageBody, files: readonly UploadedFile[]): StoredAttachment[] {
    return files.map((file) => ({
      id: this.world.ids.next(),
      filename: file.filename,
      description: body.attachments?.find((each) => String(each.id) === file.id)?.description ?? null,
      size: file.bytes.length,
      bytes: file.bytes,
    }));
  }

  /** The message as the API shows it. */
  toApi(message: StoredMessage): APIMessage {
    const author = this.world.users.get(message.authorId);
    if (!author) throw new Error("a message without an author");
    return {
      id: message.id,
      type: MessageType.Default,
      channel_id: message.channelId,
      author,
      content: message.content,
      timestamp: new Date(message.createdUnixMs).toISOString(),
      edited_timestamp: message.editedUnixMs === null ? null : new Date(message.editedUnixMs).toISOString(),
      tts: false,
      mention_everyone: message.mentionEveryone,
      mentions: message.mentions.flatMap((id) => this.world.users.get(id) ?? []),
      mention_roles: [],
      attachments: message.attachments.map((each) => ({
        id: each.id,
        filename: each.filename,
        size: each.size,
        url: `attachment://${each.filename}`,
        proxy_url: `attachment://${each.filename}`,
        ...(each.description === null ? {} : { description: each.description }),
      })),
      embeds: message.embeds,
      components: message.components,
      pinned: false,
      flags: message.flags,
    };
  }
}

function neededToPost(body: MessageBody, files: readonly UploadedFile[]): bigint {
  let needed = PermissionFlagsBits.SendMessages;
  if (body.embeds?.length) needed |= PermissionFlagsBits.EmbedLinks;
  if (files.length > 0) needed |= PermissionFlagsBits.AttachFiles;
  return needed;
}
