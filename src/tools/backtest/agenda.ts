/** What is still to happen, soonest first: a binary heap keyed by time, then rank, then order of entry. */
import type { UtcMillis } from "../../base/units.js";

export interface Happening {
  readonly unixMs: UtcMillis;
  /** Order among happenings of one instant, smaller first. */
  readonly rank: number;
  readonly entered: number;
  readonly happen: () => void | Promise<void>;
}

export class Agenda {
  private readonly heap: Happening[] = [];
  private entered = 0;

  add(unixMs: UtcMillis, rank: number, happen: Happening["happen"]): void {
    const { heap } = this;
    heap.push({ unixMs, rank, entered: this.entered++, happen });
    for (let at = heap.length - 1; at > 0; ) {
      const parent = (at - 1) >> 1;
      if (!before(heap[at]!, heap[parent]!)) break;
      this.swap(at, parent);
      at = parent;
    }
  }

  /** Infinity when nothing is to come. */
  nextUnixMs(): UtcMillis {
    return this.heap[0]?.unixMs ?? Number.POSITIVE_INFINITY;
  }

  /** Takes the soonest out; null when nothing is to come. */
  next(): Happening | null {
    const { heap } = this;
    const first = heap[0];
    const last = heap.pop();
    if (first === undefined || last === undefined) return null;
    if (heap.length === 0) return first;
    heap[0] = last;
    for (let at = 0; ; ) {
      const left = 2 * at + 1;
      if (left >= heap.length) break;
      const right = left + 1;
      const child = right < heap.length && before(heap[right]!, heap[left]!) ? right : left;
      if (!before(heap[child]!, heap[at]!)) break;
      this.swap(at, child);
      at = child;
    }
    return first;
  }

  private swap(a: number, b: number): void {
    const kept = this.heap[a]!;
    this.heap[a] = this.heap[b]!;
    this.heap[b] = kept;
  }
}

function before(a: Happening, b: Happening): boolean {
  return a.unixMs - b.unixMs < 0 || (a.unixMs === b.unixMs && (a.rank - b.rank || a.entered - b.entered) < 0);
}
