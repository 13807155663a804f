/** Who still waits while a night is played: one list per group, in order of asking, without allocation. */
import { NONE, type QueueTable } from "./queue-table.js";

export class WaitingLists {
  /** By row: the row asked next in the same group. */
  readonly next: Int32Array;
  /** By group: its first waiting row. */
  readonly head: Int32Array;
  /** Groups in which somebody waits, in order of tier; the first `activeCount` entries count. */
  readonly active: Int32Array;
  activeCount = 0;
  /** Counts how often `active` has gained a group. */
  additions = 0;
  /** By row: 1 for one that waits. */
  readonly waits: Uint8Array;
  /** Rows added since somebody emptied it. */
  readonly newcomers: number[] = [];
  /** By owner: requests taken tonight. */
  readonly taken: Int32Array;
  private readonly takenBefore: Int32Array;

  /** @param waitingRows how many of the table's rows wait from the start; the others may be added later */
  constructor(
    private readonly table: QueueTable,
    takenTonight: ReadonlyMap<string, number>,
    private readonly waitingRows = table.requests.length,
  ) {
    this.next = new Int32Array(table.requests.length);
    this.waits = new Uint8Array(table.requests.length);
    this.head = new Int32Array(table.groups.length);
    this.active = new Int32Array(table.groups.length);
    this.takenBefore = new Int32Array(table.owners.length);
    table.owners.forEach((owner, index) => {
      this.takenBefore[index] = takenTonight.get(owner) ?? 0;
    });
    this.taken = this.takenBefore.slice();
    this.fill();
  }

  /** Back to the start of the night, for the next run. */
  reset(): void {
    this.taken.set(this.takenBefore);
    this.fill();
    this.additions++;
  }

  /** Takes a row out of its list. `before`: the row ahead of it, NONE for the head; looked for when left out. */
  remove(row: number, before = this.before(row)): void {
    const group = this.table.group[row]!;
    const after = this.next[row]!;
    this.waits[row] = 0;
    if (before !== NONE) this.next[before] = after;
    else {
      this.head[group] = after;
      if (after === NONE) this.deactivate(group);
    }
  }

  /** Puts a row that doesn't wait into its group's list, in order of asking. */
  add(row: number): void {
    this.waits[row] = 1;
    this.newcomers.push(row);
    const group = this.table.group[row]!;
    const head = this.head[group]!;
    if (head === NONE) this.activate(group);
    if (head === NONE || head > row) {
      this.putFirst(row);
      return;
    }
    let before = head;
    while (this.next[before]! !== NONE && this.next[before]! < row) before = this.next[before]!;
    this.next[row] = this.next[before]!;
    this.next[before] = row;
  }

  /** Counts a row as taken by its owner. */
  count(row: number): void {
    this.taken[this.table.owner[row]!]!++;
  }

  private fill(): void {
    this.head.fill(NONE);
    this.waits.fill(1, 0, this.waitingRows).fill(0, this.waitingRows);
    this.newcomers.length = 0;
    for (let row = this.waitingRows - 1; row >= 0; row--) this.putFirst(row);
    this.activeCount = 0;
    for (let group = 0; group < this.head.length; group++)
      if (this.head[group] !== NONE) this.active[this.activeCount++] = group;
  }

  private putFirst(row: number): void {
    const group = this.table.group[row]!;
    this.next[row] = this.head[group]!;
    this.head[group] = row;
  }

  private before(row: number): number {
    let before = NONE;
    for (let each = this.head[this.table.group[row]!]!; each !== row; each = this.next[each]!) before = each;
    return before;
  }

  private activate(group: number): void {
    let place = this.activeCount;
    while (place > 0 && this.active[place - 1]! > group) place--;
    this.active.copyWithin(place + 1, place, this.activeCount);
    this.active[place] = group;
    this.activeCount++;
    this.additions++;
  }

  private deactivate(group: number): void {
    const place = this.active.indexOf(group);
    this.active.copyWithin(place, place + 1, this.activeCount);
    this.activeCount--;
  }
}
