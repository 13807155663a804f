/** Finds our own messages again in a channel's history, by the mark in their buttons. */
import type { UtcMillis } from "../../../base/units.js";
import type { Api } from "../api.js";
import { HistoryHidden } from "../errors.js";
import { markIn } from "../hear/buttons.js";
import { missingIn } from "../set-up/permissions.js";

/** First instant of the platform's ids, 2015-01-01T00:00:00Z (documented, "Snowflakes"). */
const EPOCH_UNIX_MS = 1_420_070_400_000n;

/**
 * Mark → message id, for those of `marks` found among the messages since `sinceUnixMs`.
 * @throws what the API throws: without a look nothing may be posted again
 * @throws {HistoryHidden} when the bot may not see the history
 */
export async function findMarked(
  api: Api,
  channelId: string,
  marks: ReadonlySet<string>,
  sinceUnixMs: UtcMillis,
): Promise<Map<string, string>> {
  const found = new Map<string, string>();
  let before: string | null = null;
  // Bounded by time alone: a message is as old as its id says, and an end too soon would post twice.
  for (;;) {
    const messages = await api.history(channelId, before);
    if (messages.length === 0 && before === null) await assureVisible(api, channelId);
    for (const message of messages) {
      const mark = markIn(message.components);
      if (mark !== null && marks.has(mark)) found.set(mark, message.id);
    }
    const oldest = messages.at(-1);
    const all = found.size === marks.size;
    if (all || messages.length < 100 || !oldest || sentUnixMs(oldest.id) < sinceUnixMs) return found;
    before = oldest.id;
  }
}

/** The platform shows an empty history both where there is none and where it may not be read. */
async function assureVisible(api: Api, channelId: string): Promise<void> {
  const channel = await api.channel(channelId);
  if (!("guild_id" in channel) || !channel.guild_id) return;
  const guild = await api.guild(channel.guild_id);
  const { id: userId } = await api.me();
  const { roles } = await api.member(guild.id, userId);
  const overwrites = ("permission_overwrites" in channel ? channel.permission_overwrites : null) ?? [];
  const missing = missingIn(guild.id, guild.roles, { roles, userId }, overwrites);
  if (missing.includes("ReadMessageHistory")) throw new HistoryHidden();
}

/** When a message or interaction was made, from its id; NaN for an id of another scheme. */
export function sentUnixMs(id: string): UtcMillis {
  if (!/^\d+$/.test(id)) return Number.NaN;
  return Number((BigInt(id) >> 22n) + EPOCH_UNIX_MS);
}
