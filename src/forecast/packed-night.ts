/** A night's input in a few flat arrays, so that handing ten thousand requests to a worker holds nobody up. */
import { waitingRequest } from "../queue/request.js";
import type { Target } from "../sky/target.js";
import type { NightInput } from "./night-run.js";

/** Whatever is not about single requests. */
type Frame = Omit<NightInput, "waiting">;

export interface PackedNight {
  readonly frame: Frame;
  /** Different values in the columns below, which hold their places. */
  readonly targets: readonly Target[];
  readonly filters: readonly string[];
  readonly owners: readonly string[];
  /** `WIDTH` numbers for each waiting request. */
  readonly rows: Float64Array;
}

/** Numbers per request: number, target, filter, owner, exposure, frames, not before, tier, asked. */
const WIDTH = 9;

/** Only what decides a run is kept of a request. */
export function packNight({ waiting, ...frame }: NightInput): PackedNight {
  const targets = new Places<Target>();
  const filters = new Places<string>();
  const owners = new Places<string>();
  const rows = new Float64Array(waiting.length * WIDTH);
  for (const [row, request] of waiting.entries()) {
    const at = row * WIDTH;
    rows[at] = request.number;
    rows[at + 1] = targets.of(request.target);
    rows[at + 2] = filters.of(request.filter);
    rows[at + 3] = owners.of(request.owner);
    rows[at + 4] = request.exposureSeconds;
    rows[at + 5] = request.frames;
    rows[at + 6] = request.notBeforeUnixMs ?? Number.NaN;
    rows[at + 7] = request.tier;
    rows[at + 8] = request.askedUnixMs;
  }
  return { frame, targets: targets.values, filters: filters.values, owners: owners.values, rows };
}

/** The input again: it plays as the original does. */
export function unpackNight({ frame, targets, filters, owners, rows }: PackedNight): NightInput {
  const waiting = Array.from({ length: rows.length / WIDTH }, (_, row) => {
    const at = row * WIDTH;
    const notBefore = rows[at + 6]!;
    return waitingRequest({
      number: rows[at]!,
      target: targets[rows[at + 1]!]!,
      filter: filters[rows[at + 2]!]!,
      owner: owners[rows[at + 3]!]!,
      exposureSeconds: rows[at + 4]!,
      frames: rows[at + 5]!,
      notBeforeUnixMs: Number.isNaN(notBefore) ? null : notBefore,
      tier: rows[at + 7]!,
      askedUnixMs: rows[at + 8]!,
    });
  });
  return { ...frame, waiting };
}

/** Gives each different value a place, in order of first meeting. */
class Places<Value> {
  readonly values: Value[] = [];
  private readonly places = new Map<Value, number>();

  of(value: Value): number {
    const known = this.places.get(value);
    if (known !== undefined) return known;
    const place = this.values.push(value) - 1;
    this.places.set(value, place);
    return place;
  }
}
