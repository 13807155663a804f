/**
 * The log of a class's notices in the room. The journal itself is that log: each notice is stored there
 * with the event it follows from, so one that a phone has not seen is found again after any interruption,
 * of the phone or of the server. The newest are kept at hand.
 */
import type { Desk } from "../../../journal/desk.js";
import type { Entry } from "../../../journal/events.js";
import type { Notice } from "../../../journal/notice.js";
import { isAfter, type Sequence } from "../wire.js";

export interface LoggedNotice {
  readonly seq: Sequence;
  readonly notice: Notice;
}

const AT_HAND = 600;
/** Entries looked through at the start for notices to have at hand. */
const LOOKED_THROUGH = 1_500;

/** Place after the last notice of an entry. */
const WHOLE_ENTRY = Number.MAX_SAFE_INTEGER;

export class NoticeLog {
  private readonly atHand: LoggedNotice[] = [];
  /** Every notice of this entry and of later ones is at hand. */
  private fromEntry: number;
  private lastEntry: number;

  private constructor(
    private readonly desk: Desk,
    private readonly classId: string,
  ) {
    this.lastEntry = desk.state.lastEntryId;
    this.fromEntry = Math.max(1, this.lastEntry - LOOKED_THROUGH);
  }

  /** Opens the log; from then on the caller hands each new entry to `note`. */
  static async open(desk: Desk, classId: string): Promise<NoticeLog> {
    const log = new NoticeLog(desk, classId);
    const until = log.lastEntry;
    for await (const entry of desk.entries(log.fromEntry)) {
      if (entry.id > until) break;
      log.keep(log.noticesOf(entry));
    }
    return log;
  }

  /** Takes a new entry; returns its notices for this room. */
  note(entry: Entry): readonly LoggedNotice[] {
    const notices = this.noticesOf(entry);
    this.lastEntry = entry.id;
    this.keep(notices);
    return notices;
  }

  /** Where the log ends now. */
  get end(): Sequence {
    return [this.lastEntry, WHOLE_ENTRY];
  }

  /** The newest at or before `seq` that `mayRead` lets through, oldest first. */
  newestUpTo(seq: Sequence, most: number, mayRead: (notice: Notice) => boolean): readonly LoggedNotice[] {
    if (most <= 0) return [];
    return this.atHand.filter((each) => !isAfter(each.seq, seq) && mayRead(each.notice)).slice(-most);
  }

  /** Whether all that came after `seq` is at hand; else older ones have to be read from the journal first. */
  reaches(seq: Sequence): boolean {
    return seq[0] >= this.fromEntry || (seq[0] + 1 === this.fromEntry && seq[1] === WHOLE_ENTRY);
  }

  /** Those after `seq` that are at hand. */
  atHandAfter(seq: Sequence): readonly LoggedNotice[] {
    return this.atHand.filter((each) => isAfter(each.seq, seq));
  }

  /** Those after `seq` up to the present end, from the journal. */
  async *sinceFromJournal(seq: Sequence): AsyncIterable<LoggedNotice> {
    for await (const entry of this.desk.entries(Math.max(1, seq[0]))) {
      for (const each of this.noticesOf(entry)) if (isAfter(each.seq, seq)) yield each;
    }
  }

  private noticesOf(entry: Entry): LoggedNotice[] {
    return entry.notices.flatMap((notice, place): LoggedNotice[] =>
      notice.to.surface === "room" && notice.to.channel === this.classId && notice.title !== ""
        ? [{ seq: [entry.id, place], notice }]
        : [],
    );
  }

  private keep(notices: readonly LoggedNotice[]): void {
    this.atHand.push(...notices);
    const over = this.atHand.length - AT_HAND;
    if (over <= 0) return;
    const gone = this.atHand.splice(0, over);
    this.fromEntry = Math.max(this.fromEntry, (gone.at(-1) as LoggedNotice).seq[0] + 1);
  }
}
