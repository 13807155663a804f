/** The documented limits of a message, and who is notified by it. */
import type { APIActionRowComponent, APIAllowedMentions, APIEmbed } from "discord-api-types/v10";
import { AllowedMentionsTypes, ComponentType, MessageFlags } from "discord-api-types/v10";
import { emptyMessage, invalidForm, tooLarge } from "./api-error.js";

/** A message as it arrives, files apart. */
export interface MessageBody {
  readonly content?: string | null;
  readonly embeds?: APIEmbed[];
  readonly components?: APIActionRowComponent<never>[];
  readonly allowed_mentions?: APIAllowedMentions;
  readonly attachments?: { id: string | number; filename?: string; description?: string }[];
  readonly flags?: number;
  readonly nonce?: string | number;
  readonly enforce_nonce?: boolean;
}

export interface UploadedFile {
  /** The n of the form field `files[n]`. */
  readonly id: string;
  readonly filename: string;
  readonly bytes: Uint8Array;
}

const limit = (path: string, text: string | undefined, most: number, least = 0): void => {
  if (text === undefined) return;
  if (text.length < least || text.length > most)
    throw invalidForm(path, `Must be between ${least} and ${most} in length.`);
};

/**
 * Checks a message against the documented limits.
 * @param standing ids of attachments that an edit may keep
 * @throws {ApiError} 50035 for a field over its limit, 50006 for an empty message
 */
export function checkMessage(
  body: MessageBody,
  files: readonly UploadedFile[],
  flagsAllowed: number,
  standing: readonly string[] = [],
): void {
  limit("content", body.content ?? undefined, 2000);
  if (body.nonce !== undefined) limit("nonce", String(body.nonce), 25);
  if (body.enforce_nonce && body.nonce === undefined)
    throw invalidForm("enforce_nonce", "A nonce is required to enforce it.");
  if ((body.flags ?? 0) & ~flagsAllowed) throw invalidForm("flags", "This flag cannot be set here.");
  checkEmbeds(body.embeds ?? []);
  checkComponents(body.components ?? []);
  checkAllowedMentions(body.allowed_mentions);
  if (files.length > 10) throw invalidForm("files", "At most 10 files.");
  const known = new Set([...standing, ...files.map((file) => file.id)]);
  for (const each of body.attachments ?? []) {
    limit("attachments.description", each.description, 1024);
    if (!known.has(String(each.id))) throw invalidForm("attachments.id", "There is no such file.");
  }
  const bare = !body.content && !body.embeds?.length && files.length === 0 && !body.components?.length;
  if (bare) throw emptyMessage();
}

/** Upload limits by server boost tier, bytes (documented: 10 MiB, 50 MiB at tier 2, 100 MiB at tier 3). */
export function uploadLimit(premiumTier: 0 | 1 | 2 | 3): number {
  return ([10, 10, 50, 100][premiumTier] as number) * 1024 * 1024;
}

/** @throws {ApiError} 40005 when a file is over the limit */
export function checkUploads(files: readonly UploadedFile[], limitBytes: number): void {
  if (files.some((file) => file.bytes.length > limitBytes)) throw tooLarge();
}

function checkEmbeds(embeds: readonly APIEmbed[]): void {
  if (embeds.length > 10) throw invalidForm("embeds", "At most 10 embeds.");
  let total = 0;
  for (const embed of embeds) {
    const bare = !embed.title && !embed.description && !embed.fields?.length && !embed.footer;
    if (bare && !embed.image && !embed.author) throw invalidForm("embeds", "This embed is empty.");
    limit("embeds.title", embed.title, 256);
    limit("embeds.description", embed.description, 4096);
    limit("embeds.footer.text", embed.footer?.text, 2048, 1);
    if ((embed.fields?.length ?? 0) > 25) throw invalidForm("embeds.fields", "At most 25 fields.");
    for (const field of embed.fields ?? []) {
      limit("embeds.fields.name", field.name, 256, 1);
      limit("embeds.fields.value", field.value, 1024, 1);
      total += field.name.length + field.value.length;
    }
    total += (embed.title?.length ?? 0) + (embed.description?.length ?? 0) + (embed.footer?.text.length ?? 0);
  }
  if (total > 6000) throw invalidForm("embeds", "Embed size exceeds maximum size of 6000.");
}

interface Button {
  readonly type: number;
  readonly style?: number;
  readonly custom_id?: string;
  readonly label?: string;
  readonly emoji?: object;
}

function checkComponents(rows: readonly { type: number; components?: readonly object[] }[]): void {
  if (rows.length > 5) throw invalidForm("components", "At most 5 rows.");
  const ids = new Set<string>();
  for (const row of rows) {
    const buttons = (row.components ?? []) as Button[];
    if (row.type !== ComponentType.ActionRow || buttons.length < 1 || buttons.length > 5)
      throw invalidForm("components", "A row holds 1 to 5 buttons.");
    for (const button of buttons) {
      if (!button.label && !button.emoji)
        throw invalidForm("components.label", "A button must have a label or an emoji.");
      if (![1, 2, 3, 4].includes(button.style ?? 0))
        throw invalidForm("components.style", "This field is required.");
      limit("components.label", button.label, 80, 1);
      limit("components.custom_id", button.custom_id ?? "", 100, 1);
      if (ids.has(button.custom_id as string))
        throw invalidForm("components.custom_id", "Component custom id cannot be duplicated.");
      ids.add(button.custom_id as string);
    }
  }
}

function checkAllowedMentions(allowed: APIAllowedMentions | undefined): void {
  if (!allowed) return;
  if ((allowed.users?.length ?? 0) > 100)
    throw invalidForm("allowed_mentions.users", "Must be 100 or fewer in length.");
  if (new Set(allowed.users).size < (allowed.users?.length ?? 0))
    throw invalidForm("allowed_mentions.users", "The set already contains this value.");
  if (allowed.users?.length && allowed.parse?.includes(AllowedMentionsTypes.User))
    throw invalidForm("allowed_mentions", "parse and users are mutually exclusive.");
}

/** Who is notified: those named in the text *and* allowed. Without `allowed_mentions` everything named counts. */
export function notified(
  content: string,
  allowed: APIAllowedMentions | undefined,
): { users: string[]; everyone: boolean } {
  const named = [...content.matchAll(/<@!?(\d+)>/g)].map((match) => match[1] as string);
  const parses = (kind: AllowedMentionsTypes): boolean => !allowed || (allowed.parse ?? []).includes(kind);
  const users = parses(AllowedMentionsTypes.User)
    ? named
    : named.filter((id) => allowed?.users?.includes(id));
  return {
    users: [...new Set(users)],
    everyone: /@(everyone|here)/.test(content) && parses(AllowedMentionsTypes.Everyone),
  };
}

/** Flags a bot may set on an ordinary message, and on an answer to an interaction. */
export const MESSAGE_FLAGS = MessageFlags.SuppressEmbeds | MessageFlags.SuppressNotifications;
export const ANSWER_FLAGS = MESSAGE_FLAGS | MessageFlags.Ephemeral;
