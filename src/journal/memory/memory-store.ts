/** A journal store that forgets at exit: for tests and for trying things out. Several may be open on one medium. */
import { Refusal } from "../../base/refusal.js";
import {
  type Explain,
  type JournalStore,
  noRescue,
  type OpenedStore,
  type Row,
  type StoreFault,
} from "../store.js";

/** What outlives those who have it open: the rows, and whose turn it is to write. */
export class MemoryMedium {
  readonly rows = new Map<string, string>();
  /** Counts the writers; a write in the name of an earlier one is refused. */
  epoch = 0;
  writer: MemoryStore | null = null;
  /** Tells the writer that it no longer is. */
  lost: (clause: string) => void = () => {};

  /** Takes the lock from its holder, as a database does whose connection broke. */
  depose(): void {
    this.epoch += 1;
    this.writer = null;
    this.lost(FAULTS.NOT_WRITER.clause);
  }
}

const FAULTS = {
  NOT_WRITER: { kind: "deposed", clause: "another has become its writer" },
  CONNECTION_LOST: { kind: "unsure", clause: "the connection to it was lost" },
} as const satisfies Record<string, StoreFault>;

export class MemoryStore implements JournalStore {
  /** The writer in whose name this store writes. */
  epoch = 0;

  constructor(readonly medium = new MemoryMedium()) {}

  async connect(): Promise<void> {}

  async getMany<Value>(keys: readonly string[]): Promise<(Value | undefined)[]> {
    return keys.map((key) => this.medium.rows.get(key) as Value | undefined);
  }

  async setMany(rows: readonly Row[]): Promise<boolean[]> {
    this.checkOffice();
    for (const { key, value } of rows) this.medium.rows.set(key, value);
    return rows.map(() => true);
  }

  async deleteMany(keys: readonly string[]): Promise<boolean> {
    this.checkOffice();
    for (const key of keys) this.medium.rows.delete(key);
    return true;
  }

  async keys(from: string, before: string): Promise<readonly string[]> {
    return [...this.medium.rows.keys()].filter((key) => key >= from && key < before).sort();
  }

  async structureFault(): Promise<null> {
    return null;
  }

  async settle(): Promise<void> {}

  async disconnect(): Promise<void> {}

  private checkOffice(): void {
    if (this.epoch === this.medium.epoch) return;
    throw Object.assign(new Error(FAULTS.NOT_WRITER.clause), { code: "NOT_WRITER" });
  }
}

const explain: Explain = {
  fault: (error) =>
    FAULTS[(error as { code?: keyof typeof FAULTS } | null)?.code as keyof typeof FAULTS] ?? {
      kind: "refused",
      clause: "the journal could not be written",
    },
  unopened: (cause) => new Refusal("journal-unreadable", "The journal in memory cannot be read.", { cause }),
};

/** The store on a medium, with all that belongs to it. */
export function openMemory(medium: MemoryMedium, store = new MemoryStore(medium)): OpenedStore {
  return {
    store,
    explain,
    lock: {
      take: async (lost) => {
        if (medium.writer && medium.writer !== store) {
          throw new Refusal("in-use", "The journal in memory is in use: close the desk that has it first.");
        }
        Object.assign(medium, { writer: store, lost });
        store.epoch = medium.epoch += 1;
      },
      release: async () => {
        if (medium.writer === store) medium.writer = null;
      },
    },
    rescue: noRescue(explain),
  };
}
