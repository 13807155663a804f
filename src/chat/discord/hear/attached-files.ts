/** Files attached to a command: fetched from the platform's own file server, when the command wants them. */
import type { APIAttachment, APIChatInputApplicationCommandInteraction } from "discord.js";
import { Refusal } from "../../../base/refusal.js";
import { MINUTE } from "../../../base/units.js";
import type { GivenFile } from "../../../commands/command.js";
import { cleanText } from "../../../commands/read/clean-text.js";
import type { ReceivedFiles } from "../../received-files.js";
import { explain } from "../errors.js";

/** Where attachments lie (documented: "Uploading Files", "Signed Attachment CDN URLs"). */
const FILE_SERVER = "https://cdn.discordapp.com";
const LONGEST_FETCH = 2 * MINUTE;
const LONGEST_NAME = 100;

export class AttachedFiles {
  private readonly attachments: Readonly<Record<string, APIAttachment>>;
  private readonly fetched: string[] = [];

  /** @param apiUrl of a proxy or a stand-in, which then serves files too; undefined for the real one */
  constructor(
    { data }: APIChatInputApplicationCommandInteraction,
    private readonly received: ReceivedFiles,
    private readonly apiUrl: string | undefined,
  ) {
    this.attachments = data.resolved?.attachments ?? {};
  }

  readonly give = (id: string): GivenFile => {
    const found = this.attachments[id];
    const name = cleanText(found?.filename ?? "").slice(0, LONGEST_NAME) || "The file";
    return {
      name,
      fetch: async () => {
        try {
          if (!found || !this.isOurs(found.url))
            throw new Refusal("no-file", "Discord does not say where it is.");
          const path = await this.bring(found);
          this.fetched.push(path);
          return path;
        } catch (error) {
          const why = error instanceof Refusal ? error.message : explain(error).sentence;
          throw new Refusal("no-file", `${name} could not be fetched, so nothing was done: ${why}`, {
            cause: error,
          });
        }
      },
    };
  };

  /** Once the command has been answered. */
  async drop(): Promise<void> {
    for (const path of this.fetched) await this.received.drop(path);
  }

  /** Nobody makes us ask another machine. */
  private isOurs(url: string): boolean {
    const origin = URL.canParse(url) ? new URL(url).origin : null;
    return origin === FILE_SERVER || (this.apiUrl !== undefined && origin === new URL(this.apiUrl).origin);
  }

  private async bring({ url, size }: APIAttachment): Promise<string> {
    const response = await fetch(url, { redirect: "error", signal: AbortSignal.timeout(LONGEST_FETCH) });
    if (!response.ok || response.body === null)
      throw new Refusal("no-file", `Discord's file server answered ${response.status}.`);
    return this.received.take(response.body as unknown as AsyncIterable<Uint8Array>, size);
  }
}
