/**
 * Where the journal is kept. Every kind of store brings four things, so that the desk knows none of them: the rows,
 * the lock of its one writer, what helps after damage, and what its errors mean. `openStore` makes them.
 */
import type { Refusal } from "../base/refusal.js";

export interface Row {
  readonly key: string;
  readonly value: string;
}

/**
 * Rows in order of their keys. Reading needs no lock, so that a second process can follow; a write by any but the
 * present writer stores nothing and fails as `deposed`, also when a process wakes up after another has taken over.
 */
export interface JournalStore {
  /** Opens it, and opens it anew after the connection was lost; an open one stays as it is. */
  connect(): Promise<void>;
  /** All rows or none: one transaction. Resolves to `true` for each row once they are durable. */
  setMany(rows: readonly Row[]): Promise<boolean[]>;
  /** Values in the order of `keys`; undefined where there is none. */
  getMany<Value>(keys: readonly string[]): Promise<(Value | undefined)[]>;
  /** All of them in one transaction. */
  deleteMany(keys: readonly string[]): Promise<boolean>;
  /** Keys from `from` (included) to `before` (not included), in code-point order. */
  keys(from: string, before: string): Promise<readonly string[]>;
  /** One clause about what is wrong with its structure; null when it is sound. */
  structureFault(): Promise<string | null>;
  /** Leaves as little of replaced values behind as this kind of store can. */
  settle(): Promise<void>;
  /**
   * Hears of what others write, once for one or more writes; a write may be missed when the connection breaks.
   * Missing where a store has no way to tell.
   */
  follow?(written: () => void): Promise<void>;
  /** Closes it as it is: a damaged one is not touched. */
  disconnect(): Promise<void>;
}

/** One writer at a time. The system lets go of the lock when the process ends, however it ends. */
export interface WriterLock {
  /**
   * Becomes the one writer, or makes sure of it after the connection was lost. What an earlier writer still sends
   * is refused from here on.
   * @param lost called when the lock is lost without having been released, with the cause in one clause
   * @throws {Refusal} code "in-use" when another has it, or another that says what keeps it from being taken
   */
  take(lost: (clause: string) => void): Promise<void>;
  release(): Promise<void>;
}

/** How far the journal is known to have come by something outside it: 0 and null where nothing says. */
export interface Reached {
  readonly id: number;
  /** The highest request number given. */
  readonly number: number | null;
}

/** What was done about damage. */
export interface Mended {
  /** What was damaged, as the operator knows it. */
  readonly what: string;
  /** Where the damaged one is now. */
  readonly keptAs: string;
  readonly soundEntries: number;
  /** Ids of the entries that could not be read, in order. */
  readonly lostIds: readonly number[];
}

/** What helps after damage; used by the holder of the lock. */
export interface Rescue {
  reached(): Reached;
  /** Told after each durable write; a failure harms nothing and is not thrown. */
  raise(id: number, number: number): void;
  /**
   * Puts a sound journal in the place of a damaged one that is not connected; the damaged one is kept.
   * @throws {Refusal} code "journal-unreadable" when there is nothing sound, or no room; all is then as it was
   */
  mend(): Promise<Mended>;
  /** The journal has been seen to be whole: lets go of what was kept in case it were not. */
  sound(): void;
}

/**
 * refused: nothing was stored. unsure: the connection broke under way, so that only a look can tell. deposed: another
 * is the writer now, and nothing was stored. damaged: the journal itself is at fault.
 */
export interface StoreFault {
  readonly kind: "refused" | "unsure" | "deposed" | "damaged";
  /** What it means and what to do: "the disk is full; free some space". */
  readonly clause: string;
}

/** What a store's own errors mean. */
export interface Explain {
  fault(error: unknown): StoreFault;
  /** Why the journal could not be opened; null: because nothing in it is sound. */
  unopened(error: unknown): Refusal;
}

export interface OpenedStore {
  readonly store: JournalStore;
  readonly lock: WriterLock;
  readonly rescue: Rescue;
  readonly explain: Explain;
}

/** For a store with nothing outside it that knows how far it came, and nothing to mend it from. */
export function noRescue(explain: Explain): Rescue {
  return {
    reached: () => ({ id: 0, number: null }),
    raise: () => {},
    mend: async () => {
      throw explain.unopened(null);
    },
    sound: () => {},
  };
}
