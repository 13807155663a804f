/** The board: one message in each class channel, edited when it changed, found again, posted anew when deleted. */
import { button } from "../../../base/button.js";
import type { CallOff } from "../../../base/clock.js";
import { MINUTE, SECOND, type UtcMillis } from "../../../base/units.js";
import { explain } from "../errors.js";
import { buttonRows, RUN_ORDER } from "../hear/buttons.js";
import type { Place } from "../hear/place.js";
import type { Kit } from "../kit.js";
import { CONTENT, within } from "../limits.js";
import { bold, escapeText, phraseText } from "../text.js";
import { findMarked } from "./look-back.js";
import { nonceFor } from "./nonce.js";
import { NOBODY_MENTIONED, type Outgoing } from "./outgoing.js";

/** Edits are at least this far apart. */
const BETWEEN_EDITS = 15 * SECOND;
/** A board that does not change is looked at this often, in case it was deleted. */
const BETWEEN_LOOKS = MINUTE;
/** A board posted by a process that died before it could remember it is looked for this far back. */
const LOOK_BACK = 2 * 24 * 60 * MINUTE;

const TONIGHT = button("Tonight", "tonight", {}, null);

/** Keeps one class channel's board. */
export class BoardKeeper {
  private shown: string | null = null;
  private lastCallUnixMs: UtcMillis = Number.NEGATIVE_INFINITY;
  private timer: CallOff | null = null;
  private timerUnixMs: UtcMillis = Number.POSITIVE_INFINITY;
  private work: Promise<void> = Promise.resolve();
  private stopped = false;
  private silence: () => void = () => {};

  constructor(
    private readonly kit: Kit,
    private readonly place: Place,
  ) {}

  /** Shows the board now, and from now on whenever the journal has news or the minute turns. */
  start(): void {
    this.silence = this.kit.host.services.desk.listen(() => this.soon());
    this.soon();
  }

  /** Asks for a look as soon as the pace allows. */
  soon(): void {
    this.plan(this.lastCallUnixMs + BETWEEN_EDITS);
  }

  /** Resolves when an edit on its way is done. */
  async stop(): Promise<void> {
    this.stopped = true;
    this.silence();
    this.timer?.();
    await this.work;
  }

  private plan(unixMs: UtcMillis): void {
    if (this.stopped || unixMs >= this.timerUnixMs) return;
    const { realClock } = this.kit;
    this.timer?.();
    this.timerUnixMs = unixMs;
    this.timer = realClock.at(Math.max(unixMs, realClock.now()), () => {
      this.timer = null;
      this.timerUnixMs = Number.POSITIVE_INFINITY;
      this.work = this.work.then(() => this.update());
    });
  }

  private async update(): Promise<void> {
    if (this.stopped) return;
    let nextMs = BETWEEN_LOOKS;
    try {
      await this.show();
    } catch (error) {
      nextMs = BETWEEN_EDITS;
      this.shown = null;
      const { code, sentence } = explain(error);
      this.kit.log.warn({ code, guild: this.place.guildId }, `the board is not up to date: ${sentence}`);
    }
    this.plan(this.kit.realClock.now() + nextMs);
  }

  private async show(): Promise<void> {
    const { api, realClock } = this.kit;
    const { channelId } = this.place;
    const board = this.render();
    const text = JSON.stringify(board);
    const known = this.kit.memory.recall(this.memoryKey());
    this.lastCallUnixMs = realClock.now();
    try {
      if (known === null) return await this.postAnew(board, text, null);
      if (text === this.shown) await api.message(channelId, known);
      else await api.edit(channelId, known, board);
      this.shown = text;
    } catch (error) {
      if (known === null || explain(error).kind !== "gone") throw error;
      await this.postAnew(board, text, known);
    }
  }

  /** Posts a board in place of `lost`, unless an earlier process did so and died before it remembered. */
  private async postAnew(board: Outgoing, text: string, lost: string | null): Promise<void> {
    const { api, memory, realClock } = this.kit;
    const { channelId } = this.place;
    const mark = nonceFor(`board:${channelId}:${lost ?? "first"}`);
    const since = realClock.now() - LOOK_BACK;
    const standing = (await findMarked(api, channelId, new Set([mark]), since)).get(mark);
    const marked = { ...board, components: buttonRows([RUN_ORDER, TONIGHT], mark) };
    const messageId = standing ?? (await api.post(channelId, marked, mark));
    await memory.remember(this.memoryKey(), messageId);
    this.shown = standing === undefined ? text : null;
    if (standing !== undefined) await api.edit(channelId, standing, board);
  }

  private render(): Outgoing {
    const { host } = this.kit;
    const board = host.board(this.place.classId);
    const name = (personId: string): string => escapeText(host.nameFor(personId, this.place.classId));
    const lines = board.lines.map((line) => phraseText(line, name));
    return {
      content: within([bold(board.title), ...lines].join("\n"), CONTENT),
      embeds: [],
      components: buttonRows([RUN_ORDER, TONIGHT]),
      allowed_mentions: NOBODY_MENTIONED,
      // A new board rings for nobody.
      flags: 4096,
      files: [],
    };
  }

  private memoryKey(): string {
    return `board:${this.place.channelId}`;
  }
}
