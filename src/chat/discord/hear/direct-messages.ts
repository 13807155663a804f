/** What people write to Nightslate alone: typed lines, as at the terminal. What is written in a server is never received. */
import type { GatewayMessageCreateDispatchData } from "discord.js";
import { Refusal } from "../../../base/refusal.js";
import type { Reply } from "../../../commands/reply.js";
import { frameFiles } from "../deliver/attachments.js";
import { nonceFor } from "../deliver/nonce.js";
import { explain } from "../errors.js";
import type { Kit } from "../kit.js";
import { UPLOAD_BYTES } from "../limits.js";
import { ClassFinder } from "./class-finder.js";
import { homeOf } from "./place.js";
import { renderReply } from "./render-reply.js";

/** So many messages are remembered as seen: a connection that resumes may deliver one again. */
const SEEN = 1_000;

type Message = Pick<
  GatewayMessageCreateDispatchData,
  "id" | "channel_id" | "guild_id" | "author" | "content"
>;

export class DirectMessages {
  private readonly seen = new Set<string>();
  private readonly underWay = new Set<Promise<void>>();

  constructor(private readonly kit: Kit) {}

  /** Takes one message; those of programs, without words, or seen before are left alone. */
  take(message: Message): void {
    const { id, guild_id: guildId, author, content } = message;
    if (guildId !== undefined || author.bot || content.trim() === "" || this.seen.has(id)) return;
    this.seen.add(id);
    if (this.seen.size > SEEN) this.seen.delete(this.seen.values().next().value as string);
    const work = this.answer(message).catch((error: unknown) => {
      const { code, sentence } = explain(error);
      this.kit.log.error({ code }, `a direct message was not answered: ${sentence}`);
    });
    this.underWay.add(work);
    void work.finally(() => this.underWay.delete(work));
  }

  /** Resolves when everything under way has been answered. */
  async settled(): Promise<void> {
    await Promise.all(this.underWay);
  }

  private async answer({ id, channel_id: channelId, author, content }: Message): Promise<void> {
    const { api, host } = this.kit;
    let classId = "";
    const reply = await this.replyTo(author, content, id, (known) => {
      classId = known;
    });
    const outgoing = renderReply(reply, {
      frames: await frameFiles(reply, host.dataFolder),
      nameOf: (personId) => host.nameFor(personId, classId),
      uploadBytes: UPLOAD_BYTES[0] as number,
    });
    await api.post(channelId, { ...outgoing, flags: 0 }, nonceFor(`direct:${id}`));
  }

  private async replyTo(
    author: Message["author"],
    line: string,
    id: string,
    inClass: (classId: string) => void,
  ): Promise<Reply> {
    const { host } = this.kit;
    try {
      const present = await new ClassFinder(this.kit).find(author);
      if (!present) {
        throw new Refusal(
          "in-no-class",
          "You are in none of the classes here: ask your instructor for an invitation to the class's server.",
        );
      }
      const { asker, place } = present;
      inClass(place.classId);
      await host.welcome(asker, homeOf(place));
      return await host.runText(line, { asker, from: homeOf(place), onceKey: `discord:${id}` });
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      return { tone: "refused", title: "Not done", lines: [[error.message]] };
    }
  }
}
