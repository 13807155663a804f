/** A desk over a store that outlives it, and a process that can be stopped dead at any step. */
import type { Clock } from "../../src/base/clock.js";
import { silentLog } from "../../src/base/log.js";
import type { DeriveNotices, Desk } from "../../src/journal/desk.js";
import { Journal } from "../../src/journal/journal.js";
import { JournalDesk } from "../../src/journal/journal-desk.js";
import { loadState } from "../../src/journal/load.js";
import { MemoryStore, openMemory } from "../../src/journal/memory/memory-store.js";
import type { Row } from "../../src/journal/store.js";

/** Counts the steps of one process; at the fatal one, everything it waits for never comes. */
export class Life {
  steps = 0;
  private refused = Infinity;

  constructor(private fatalStep = Infinity) {}

  get over(): boolean {
    return this.steps >= this.fatalStep;
  }

  /** Its disk refuses the write that would be this step, once, and takes the next. */
  refuseAt(step: number): void {
    this.refused = step;
  }

  /** Whether this step's write is to be refused. */
  refuses(): boolean {
    if (this.steps !== this.refused) return false;
    this.refused = Infinity;
    return true;
  }

  /** Dies now, between two steps. */
  end(): void {
    this.fatalStep = 0;
  }

  /** One step: nothing that comes after the fatal one happens any more. */
  async step(): Promise<void> {
    if (!this.over) this.steps += 1;
    if (this.over) await new Promise<never>(() => {});
  }
}

/** The store as one process sees it: it may die just before or just after a write. */
class MortalStore extends MemoryStore {
  constructor(
    disk: MemoryStore,
    private readonly life: Life,
  ) {
    super(disk.medium);
  }

  override async setMany(rows: readonly Row[]): Promise<boolean[]> {
    await this.life.step();
    if (this.life.refuses()) throw Object.assign(new Error("disk full"), { code: "REFUSED" });
    const written = await super.setMany(rows);
    await this.life.step();
    return written;
  }
}

/** Opens the desk as a new process would: from what the store holds. */
export async function openOver(
  disk: MemoryStore,
  life: Life,
  clock: Clock,
  derive: DeriveNotices,
): Promise<Desk> {
  const journal = new Journal(openMemory(disk.medium, new MortalStore(disk, life)));
  const loaded = await loadState(journal, 0);
  if (!loaded) throw new Error("the store cannot be read");
  return new JournalDesk(journal, loaded.draft, loaded.snapshotId, { clock, derive, log: silentLog });
}
