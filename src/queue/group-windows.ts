/** Each group's windows as the night moves on: the present one, or the next. */
import type { UtcMillis } from "../base/units.js";
import type { Window } from "../observatory/observatory.js";
import type { Group } from "./queue-table.js";

export class GroupWindows {
  /** By group: the window that contains the present instant, or the next to open; Infinity when there is none. */
  readonly opens: Float64Array;
  readonly closes: Float64Array;
  /** By group: when the last of its windows closes; −Infinity for none. */
  readonly lastClose: Float64Array;
  private readonly windows: readonly (readonly Window[])[];
  private readonly index: Int32Array;

  /** @param untilUnixMs the night's end: whatever is open then closes */
  constructor(
    groups: readonly Group[],
    private readonly untilUnixMs: UtcMillis,
  ) {
    this.windows = groups.map(({ night }) => night.windows);
    this.opens = new Float64Array(groups.length);
    this.closes = new Float64Array(groups.length);
    this.index = new Int32Array(groups.length);
    this.lastClose = new Float64Array(groups.length);
    this.windows.forEach((windows, group) => {
      const last = windows[windows.length - 1]?.closeUnixMs ?? Number.NEGATIVE_INFINITY;
      this.lastClose[group] = Math.min(last, untilUnixMs);
    });
    this.reset();
  }

  /** Back to the start of the night. */
  reset(): void {
    this.index.fill(-1);
    this.closes.fill(Number.NEGATIVE_INFINITY);
  }

  /** Whether a group is open at an instant, which is never before the one last asked about. */
  moveTo(group: number, unixMs: UtcMillis): boolean {
    if (unixMs >= this.closes[group]!) this.find(group, unixMs);
    return unixMs >= this.opens[group]!;
  }

  /** Whether a group will be open at a later instant. */
  contains(group: number, unixMs: UtcMillis): boolean {
    if (unixMs < this.closes[group]!) return unixMs >= this.opens[group]!;
    if (unixMs >= this.lastClose[group]!) return false;
    return this.windows[group]!.some((window) => window.openUnixMs <= unixMs && unixMs < window.closeUnixMs);
  }

  /** When a group next opens or closes, as seen from the instant last asked about. */
  nextTurn(group: number, unixMs: UtcMillis): UtcMillis {
    return unixMs < this.opens[group]! ? this.opens[group]! : this.closes[group]!;
  }

  /** When the next of a group's windows opens after an instant; Infinity for never. */
  nextOpening(group: number, unixMs: UtcMillis): UtcMillis {
    if (this.opens[group]! > unixMs) return this.opens[group]!;
    return this.windows[group]![this.index[group]! + 1]?.openUnixMs ?? Number.POSITIVE_INFINITY;
  }

  private find(group: number, unixMs: UtcMillis): void {
    const windows = this.windows[group]!;
    let index = this.index[group]!;
    do index++;
    while (index < windows.length && windows[index]!.closeUnixMs <= unixMs);
    this.index[group] = index;
    this.opens[group] = windows[index]?.openUnixMs ?? Number.POSITIVE_INFINITY;
    this.closes[group] = Math.min(windows[index]?.closeUnixMs ?? Number.POSITIVE_INFINITY, this.untilUnixMs);
  }
}
