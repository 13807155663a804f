/** Things on the sky sorted into cells, so that those near a place are found without looking at all of them. */
import { RADIANS_PER_DEGREE } from "../../base/units.js";

interface Position {
  readonly raDegrees: number;
  readonly decDegrees: number;
}

export class SkyCells<T extends Position> {
  private readonly bands: T[][] = [];

  /** @param reach degrees within which `near` must find everything */
  constructor(
    things: readonly T[],
    private readonly reach: number,
  ) {
    for (const thing of things) {
      const band = this.bandOf(thing.decDegrees);
      this.bands[band] ??= [];
      this.bands[band].push(thing);
    }
    for (const band of this.bands) band?.sort((a, b) => a.raDegrees - b.raDegrees);
  }

  /** Everything within reach of the place, and some things a little further off. */
  near({ raDegrees, decDegrees }: Position): T[] {
    const band = this.bandOf(decDegrees);
    const highest = Math.min(89.9, Math.abs(decDegrees) + this.reach);
    const width = Math.min(180, this.reach / Math.cos(highest * RADIANS_PER_DEGREE));
    return [band - 1, band, band + 1].flatMap((each) => {
      const row = this.bands[each] ?? [];
      return [-360, 0, 360].flatMap((turn) =>
        this.between(row, raDegrees + turn - width, raDegrees + turn + width),
      );
    });
  }

  private between(row: readonly T[], from: number, to: number): T[] {
    let low = 0;
    for (let high = row.length; low < high; ) {
      const middle = (low + high) >> 1;
      if ((row[middle] as T).raDegrees < from) low = middle + 1;
      else high = middle;
    }
    let end = low;
    while (end < row.length && (row[end] as T).raDegrees <= to) end++;
    return row.slice(low, end);
  }

  private bandOf(decDegrees: number): number {
    return Math.floor((decDegrees + 90) / this.reach);
  }
}
