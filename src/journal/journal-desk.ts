/** The desk over a journal: one decision at a time; those that queue up while a write is under way share the next one. */
import { Refusal } from "../base/refusal.js";
import { type DecisionParts, Decisions } from "./decisions.js";
import type { Acted, ActOptions, Decide, Desk } from "./desk.js";
import type { Draft } from "./draft.js";
import type { Entry, NightslateEvent } from "./events.js";
import { applyEntry } from "./fold.js";
import { withoutPerson } from "./forget.js";
import type { Journal, Removal } from "./journal.js";
import { saveSnapshot } from "./snapshot-rows.js";
import type { State } from "./state.js";

/** Entries between snapshots: so many are folded at a start, at most. */
const SNAPSHOT_EVERY = 1_000;
/** The newest, and one before it in case the newest is damaged. */
const SNAPSHOTS_KEPT = 2;
/** Decisions stored in one write, at most. */
const MOST_TOGETHER = 250;
/** Entries rewritten in one write. */
const REWRITTEN_TOGETHER = 500;

export interface DeskParts extends DecisionParts {
  /** Called with the id of the newest entry once it is durable, and the highest request number given. */
  readonly stored?: (id: number, number: number) => void;
  /** Called when the journal begins to refuse, with the cause in one clause, and with null once it accepts again. */
  readonly trouble?: (clause: string | null) => void;
  /** Called once when another has become the writer, with a sentence for the operator. */
  readonly deposed?: (sentence: string) => void;
  /** Connects the store and takes its lock again after the connection was lost. */
  readonly retake?: () => Promise<void>;
  /** Called after the journal has been closed. */
  readonly closed?: () => Promise<void>;
}

interface Job {
  readonly decide: Decide;
  readonly options: ActOptions;
  readonly resolve: (acted: Acted) => void;
  readonly reject: (error: unknown) => void;
}

/** Settles one job once the write it belongs to has succeeded. */
type Answer = () => void | Promise<void>;

export class JournalDesk implements Desk {
  private readonly queue: Job[] = [];
  private readonly listeners = new Set<(entry: Entry) => void>();
  private working: Promise<void> | null = null;
  private closing: Promise<void> | null = null;
  /** The last write failed. */
  private refusing = false;
  /** Another is the writer now: nothing is stored here any more. */
  private deposed: Refusal | null = null;
  /** Entries that were under way when the connection broke: stored or not, and looked up before anything else is. */
  private inDoubt: readonly Entry[] = [];
  /** While a decision is made: the state with the decisions before it in the same write. */
  private deciding: State | null = null;

  /**
   * @param live the state after the journal's last entry; the desk changes it from now on
   * @param snapshotId the last entry that is in a stored snapshot
   */
  constructor(
    private readonly journal: Journal,
    private readonly live: Draft,
    private snapshotId: number,
    private readonly parts: DeskParts,
  ) {}

  get state(): State {
    return this.deciding ?? this.live;
  }

  act(decide: Decide, options: ActOptions): Promise<Acted> {
    if (this.closing) {
      return Promise.reject(new Refusal("closing", "Nightslate is stopping: try again when it is back."));
    }
    if (this.deposed) return Promise.reject(this.deposed);
    return new Promise((resolve, reject) => {
      this.queue.push({ decide, options, resolve, reject });
      this.working ??= this.work();
    });
  }

  listen(listener: (entry: Entry) => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  async *entries(fromId = 1): AsyncGenerator<Entry> {
    for await (const { id, entry } of this.journal.entries(Math.max(1, fromId), this.live.lastEntryId)) {
      if (entry) yield entry;
      else
        this.parts.log.error(
          { id },
          "a journal entry is damaged: it is passed over and left as it is in the file",
        );
    }
  }

  close(): Promise<void> {
    this.closing ??= (async () => {
      await this.working;
      try {
        await this.journal.close();
      } finally {
        await this.parts.closed?.();
      }
    })();
    return this.closing;
  }

  /** Takes up removals of personal data that a crash cut short. */
  resumeForgetting(): Promise<void> {
    return this.optional("removing personal data", () => this.finishForgetting());
  }

  /** The lock is lost: from now on every act is refused, and the operator is told. */
  depose(clause: string): Refusal {
    const sentence = `Nothing is stored here any more: ${clause}. Use that one, or start this one again.`;
    if (this.deposed) return this.deposed;
    this.deposed = new Refusal("deposed", sentence);
    this.refused(clause);
    this.parts.deposed?.(sentence);
    return this.deposed;
  }

  private async work(): Promise<void> {
    await Promise.resolve();
    while (this.queue.length > 0) await this.storeTogether(this.queue.splice(0, MOST_TOGETHER));
    this.working = null;
  }

  private async storeTogether(jobs: readonly Job[]): Promise<void> {
    let answers: readonly Answer[];
    try {
      await this.settleDoubt();
      const decisions = new Decisions(this.live, this.parts);
      answers = jobs.map((job) => this.decide(job, decisions));
      if (decisions.entries.length > 0) await this.store(decisions.entries);
      if (decisions.entries.length > 0) this.accepted();
    } catch (error) {
      for (const { reject } of jobs) reject(error);
      this.failed(error as Refusal);
      return;
    }
    for (const answer of answers) await answer();
    await this.snapshotIfDue();
  }

  private failed(refusal: Refusal): void {
    const { clause } = this.journal.explain.fault(refusal.cause);
    if (refusal.code === "deposed") this.depose(clause);
    else this.refused(clause);
  }

  private refused(clause: string): void {
    if (this.refusing) return;
    this.refusing = true;
    this.parts.log.error({ clause }, "the journal refuses to be written");
    this.parts.trouble?.(clause);
  }

  /**
   * Looks up what was under way when the connection broke. The lock is taken first, so that nothing of it can still
   * arrive; what stands there is then passed on as if it had been stored without a hitch.
   */
  private async settleDoubt(): Promise<void> {
    const [first] = this.inDoubt;
    if (!first) return;
    const found = await this.lookUp(first.id);
    const doubted = this.inDoubt;
    this.inDoubt = [];
    if (!found) return;
    if (JSON.stringify(found) === JSON.stringify(first)) return this.passOn(doubted);
    throw this.depose("another has written to the journal meanwhile");
  }

  private async lookUp(id: number): Promise<Entry | null> {
    try {
      await this.parts.retake?.();
      return await this.journal.entry(id);
    } catch (error) {
      if ((error as Refusal).code !== "in-use") throw this.journal.notStored(error);
      throw this.depose("another has become its writer");
    }
  }

  private accepted(): void {
    if (!this.refusing) return;
    this.refusing = false;
    this.parts.log.info({}, "the journal is written again");
    this.parts.trouble?.(null);
  }

  private decide({ decide, options, resolve, reject }: Job, decisions: Decisions): Answer {
    this.deciding = decisions.state;
    try {
      const decision = decisions.make(decide, options);
      if (!decision) return () => resolve({ entry: null, repeated: false });
      if ("entry" in decision) return () => resolve({ entry: decision.entry, repeated: false });
      return () =>
        this.journal
          .entry(decision.repeatedId)
          .then((entry) => resolve({ entry, repeated: true }))
          .catch(reject);
    } catch (error) {
      return () => reject(error);
    } finally {
      this.deciding = null;
    }
  }

  private async store(entries: readonly Entry[]): Promise<void> {
    try {
      await this.journal.append(entries, removalsIn(entries));
    } catch (error) {
      if ((error as Refusal).code === "unsure") this.inDoubt = entries;
      throw error;
    }
    await this.passOn(entries);
  }

  /** Entries are durable: the state changes, and everyone hears of it. */
  private async passOn(entries: readonly Entry[]): Promise<void> {
    const made = entries.flatMap(({ events }) => events.flatMap(numberMade));
    this.parts.stored?.((entries.at(-1) as Entry).id, Math.max(this.live.nextNumber - 1, ...made));
    for (const entry of entries) {
      applyEntry(this.live, entry);
      this.tell(entry);
    }
    if (removalsIn(entries).length > 0) await this.resumeForgetting();
  }

  private tell(entry: Entry): void {
    for (const listener of [...this.listeners]) {
      try {
        listener(entry);
      } catch (error) {
        this.parts.log.error({ id: entry.id, error: String(error) }, "a listener of the journal failed");
      }
    }
  }

  private async snapshotIfDue(): Promise<void> {
    if (this.live.lastEntryId - this.snapshotId < SNAPSHOT_EVERY) return;
    await this.optional("a snapshot", () => this.saveSnapshot());
    // Also after a failure: the next is tried when the next is due.
    this.snapshotId = this.live.lastEntryId;
  }

  private async saveSnapshot(kept = SNAPSHOTS_KEPT): Promise<void> {
    await saveSnapshot(this.journal, this.live, kept);
    this.snapshotId = this.live.lastEntryId;
  }

  /** Takes people's data out of the stored entries, as their `person.forgotten` promised. */
  private async finishForgetting(): Promise<void> {
    for (const { personId, beforeId } of await this.journal.removals()) {
      let changed: Entry[] = [];
      for await (const { entry } of this.journal.entries(1, beforeId)) {
        const rewritten = entry && withoutPerson(entry, personId, (key) => this.live.outbox.has(key));
        if (rewritten && rewritten !== entry) changed.push(rewritten);
        if (changed.length < REWRITTEN_TOGETHER) continue;
        await this.journal.rewrite(changed);
        changed = [];
      }
      await this.journal.rewrite(changed);
      await this.saveSnapshot(1);
      await this.journal.removalFinished(personId);
    }
  }

  /** Work that the journal can do without for now: a failure is told to the operator. */
  private async optional(what: string, work: () => Promise<void>): Promise<void> {
    try {
      await work();
    } catch (error) {
      this.parts.log.warn({ error: String(error) }, `${what} could not be stored; it will be tried again`);
    }
  }
}

/** What entries ask to be removed. */
function removalsIn(entries: readonly Entry[]): Removal[] {
  return entries.flatMap(({ id, events }) =>
    events.flatMap((event) =>
      event.type === "person.forgotten" ? [{ personId: event.personId, beforeId: id }] : [],
    ),
  );
}

const numberMade = (event: NightslateEvent): number[] =>
  event.type === "request.made" ? [event.number] : [];
