/** One message about to be sent: its JSON and its files. */
import type { APIAllowedMentions, APIEmbed, RawFile } from "discord.js";
import type { Row } from "../hear/buttons.js";

export interface OutgoingFile extends RawFile {
  readonly name: string;
  readonly data: Buffer;
  /** For a picture: what it shows. */
  readonly altText: string | null;
}

export interface Outgoing {
  readonly content: string;
  readonly embeds: readonly APIEmbed[];
  readonly components: readonly Row[];
  readonly allowed_mentions: APIAllowedMentions;
  readonly flags: number;
  readonly files: readonly OutgoingFile[];
}

/** Nobody is notified. */
export const NOBODY_MENTIONED: APIAllowedMentions = { parse: [] };

/** The JSON of an edit: text, embeds, buttons and files are replaced; flags cannot be. */
export function editOf(outgoing: Outgoing): object {
  const { flags: _, ...rest } = bodyOf(outgoing) as { flags: number };
  return rest;
}

/** The JSON of a new message. */
export function bodyOf({ files, ...message }: Outgoing): object {
  return {
    ...message,
    attachments: files.map((file, id) => ({
      id,
      filename: file.name,
      ...(file.altText === null ? {} : { description: file.altText }),
    })),
  };
}
