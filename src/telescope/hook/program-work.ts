/** One action as the control program carries it out: what it has told of it so far, passed on to the driver. */
import type { Clock } from "../../base/clock.js";
import { SECOND, type UtcMillis } from "../../base/units.js";
import type { FrameRecord } from "../../journal/events.js";
import type { Action, Progress } from "../link.js";

export class ProgramWork {
  /** The newest exposure told of. */
  private exposed: { frame: number; startUnixMs: UtcMillis } | null = null;
  /** Frames that were passed on, and when each is in the journal. */
  private readonly given = new Map<number, Promise<void>>();
  private readonly making = new Map<number, Promise<FrameRecord>>();

  constructor(
    readonly action: Action,
    private readonly progress: Progress,
    private readonly clock: Pick<Clock, "now">,
  ) {}

  get number(): number {
    return this.action.request.number;
  }

  /** When something of this action happened by its teller's clock: never before it was taken, nor later than now. */
  when(text: string): UtcMillis {
    return Math.min(this.clock.now(), Math.max(this.action.takenUnixMs, Date.parse(text)));
  }

  /** @returns whether that was news; an exposure before the newest is none */
  exposing(frame: number, startUnixMs: UtcMillis): boolean {
    if (this.given.has(frame) || (this.exposed && frame <= this.exposed.frame)) return false;
    this.exposed = { frame, startUnixMs };
    this.progress.exposing(frame, startUnixMs);
    return true;
  }

  /** When a frame's exposure began, by what was told, else by how long it takes. */
  startOf(frame: number, readOutUnixMs: UtcMillis, readOutSeconds: number): UtcMillis {
    if (this.exposed?.frame === frame) return this.exposed.startUnixMs;
    const seconds = this.action.request.exposureSeconds + readOutSeconds;
    return Math.max(this.action.takenUnixMs, Math.round(readOutUnixMs - seconds * SECOND));
  }

  /**
   * A frame that has come: made once, however often it is sent.
   * @param make rejects when the frame cannot be used; it may then be sent again
   * @returns resolves when it is in the journal, or the action is over
   */
  async frame(
    index: number,
    make: () => Promise<FrameRecord>,
    atUnixMs: UtcMillis,
    onceKey: string,
  ): Promise<void> {
    const record = await this.made(index, make);
    const given = this.given.get(index) ?? this.progress.frame(record, atUnixMs, onceKey);
    this.given.set(index, given);
    return given;
  }

  /** A frame that will never be kept ends the action. */
  unkept(error: Error, atUnixMs: UtcMillis, onceKey: string): Promise<void> {
    return this.progress.frame(Promise.reject(error), atUnixMs, onceKey);
  }

  /** Frames on their way go before it. */
  async ended(atUnixMs: UtcMillis, onceKey: string): Promise<void> {
    await Promise.allSettled(this.making.values());
    return this.progress.ended(atUnixMs, [], onceKey);
  }

  failed(reason: string, atUnixMs: UtcMillis, onceKey: string): Promise<void> {
    return this.progress.failed(reason, atUnixMs, onceKey);
  }

  private made(index: number, make: () => Promise<FrameRecord>): Promise<FrameRecord> {
    const known = this.making.get(index);
    if (known) return known;
    const record = make();
    this.making.set(index, record);
    record.catch(() => this.making.delete(index));
    return record;
  }
}
