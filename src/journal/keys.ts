/** The names under which the journal's rows are stored: their alphabetical order is their order in time. */

/** Digits of an id in a key: enough for a thousand entries a second over thirty years. */
const ID_DIGITS = 12;
const PART_DIGITS = 6;
const ENTRY = "entry:";
const SNAPSHOT = "snapshot:";
const FORGET = "forget:";

/** First key of all entries and the first key after them. */
export const ENTRY_RANGE = [ENTRY, after(ENTRY)] as const;
/** The same for snapshots. */
export const SNAPSHOT_RANGE = [SNAPSHOT, after(SNAPSHOT)] as const;
/** The same for people whose data is still being removed. */
export const FORGET_RANGE = [FORGET, after(FORGET)] as const;

export const entryKey = (id: number): string => ENTRY + String(id).padStart(ID_DIGITS, "0");
export const snapshotKey = (id: number): string => SNAPSHOT + String(id).padStart(ID_DIGITS, "0");
/** The key of one part of a snapshot, counted from 0. */
export const snapshotPartKey = (id: number, part: number): string =>
  `${snapshotKey(id)}:${String(part).padStart(PART_DIGITS, "0")}`;
export const forgetKey = (personId: string): string => FORGET + personId;
export const personOfForgetKey = (key: string): string => key.slice(FORGET.length);

/** The id in an entry's key; null for any other key. */
export const entryIdOf = (key: string): number | null => idAfter(ENTRY, key);
/** The id of the last entry in a snapshot, from its key; null for any other key, a part's too. */
export const snapshotIdOf = (key: string): number | null => idAfter(SNAPSHOT, key);
/** The same from the key of a part; null for any other key. */
export const snapshotIdOfPart = (key: string): number | null =>
  /:\d{6}$/.test(key) ? snapshotIdOf(key.slice(0, -PART_DIGITS - 1)) : null;

function idAfter(prefix: string, key: string): number | null {
  const digits = key.slice(prefix.length);
  return key.startsWith(prefix) && /^\d{12}$/.test(digits) ? Number(digits) : null;
}

/** The first string that is greater than all that start with `prefix`. */
function after(prefix: string): string {
  return prefix.slice(0, -1) + String.fromCharCode(prefix.charCodeAt(prefix.length - 1) + 1);
}
