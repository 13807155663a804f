/** The waiting requests of one night as columns of numbers: rows in order of asking, grouped by tier and target. */
import type { Millis } from "../base/units.js";
import type { Target } from "../sky/target.js";
import type { Request } from "./request.js";
import type { TargetNight, TargetNights } from "./target-night.js";

/** No row, no group. */
export const NONE = -1;

/** One tier's requests for one target: they share its altitude and windows. */
export interface Group {
  readonly tier: number;
  readonly night: TargetNight;
}

export interface QueueTable {
  /** By row; rows are in order of asking: a smaller row asked earlier (or has the smaller number). */
  readonly requests: readonly Request[];
  readonly askedUnixMs: Float64Array;
  readonly notBeforeUnixMs: Float64Array;
  readonly exposingMs: Float64Array;
  /** By row: place in `groups`, place in `owners`. */
  readonly group: Int32Array;
  readonly owner: Int32Array;
  /** In order of tier. */
  readonly groups: readonly Group[];
  /** By group. */
  readonly tier: Float64Array;
  readonly owners: readonly string[];
}

/** Lays the table out. `exposingMs` tells how long a request's exposures take. */
export function queueTable(
  waiting: readonly Request[],
  nights: TargetNights,
  exposingMs: (request: Request) => Millis,
): QueueTable {
  const requests = inOrderOfAsking(waiting);
  const count = requests.length;
  const askedUnixMs = new Float64Array(count);
  const notBeforeUnixMs = new Float64Array(count);
  const exposing = new Float64Array(count);
  const group = new Int32Array(count);
  const owner = new Int32Array(count);
  const gathering = new Gathering(nights);
  const owners = new Map<string, number>();
  for (let row = 0; row < count; row++) {
    const request = requests[row]!;
    askedUnixMs[row] = request.askedUnixMs;
    notBeforeUnixMs[row] = request.notBeforeUnixMs ?? Number.NEGATIVE_INFINITY;
    exposing[row] = exposingMs(request);
    group[row] = gathering.groupOf(request);
    const known = owners.get(request.owner);
    owner[row] = known ?? owners.size;
    if (known === undefined) owners.set(request.owner, owners.size);
  }
  const groups = inOrderOfTier(gathering.found, group);
  const tier = new Float64Array(groups.length);
  groups.forEach((each, place) => {
    tier[place] = each.tier;
  });
  const columns = { askedUnixMs, notBeforeUnixMs, exposingMs: exposing, group, owner };
  return { requests, ...columns, groups, tier, owners: [...owners.keys()] };
}

/** The queue usually comes in this order already; sorting is then skipped. */
function inOrderOfAsking(waiting: readonly Request[]): readonly Request[] {
  for (let row = 1; row < waiting.length; row++)
    if (asked(waiting[row - 1]!, waiting[row]!) >= 0) return [...waiting].sort(asked);
  return waiting;
}

function asked(a: Request, b: Request): number {
  return a.askedUnixMs - b.askedUnixMs || a.number - b.number;
}

/** The groups by tier, equal ones as they were met; `groupOf` (by row: the place as met) is brought in line. */
function inOrderOfTier(found: readonly Group[], groupOf: Int32Array): readonly Group[] {
  if (found.every(({ tier }, index) => index === 0 || found[index - 1]!.tier <= tier)) return found;
  const order = [...found.keys()].sort((a, b) => found[a]!.tier - found[b]!.tier || a - b);
  const placeOf = new Int32Array(found.length);
  order.forEach((index, place) => {
    placeOf[index] = place;
  });
  for (let row = 0; row < groupOf.length; row++) groupOf[row] = placeOf[groupOf[row]!]!;
  return order.map((index) => found[index]!);
}

/** Groups in the order in which they are met. */
class Gathering {
  readonly found: Group[] = [];
  /** By tier; a target object that was met before need not be looked up again. */
  private readonly byTier = new Map<number, Map<Target | TargetNight, number>>();
  // Mostly the same tier again.
  private tier = Number.NaN;
  private ofTier = new Map<Target | TargetNight, number>();

  constructor(private readonly nights: TargetNights) {}

  groupOf({ tier, target }: Request): number {
    if (tier !== this.tier) this.turnTo(tier);
    return this.ofTier.get(target) ?? this.meet(target);
  }

  private turnTo(tier: number): void {
    this.tier = tier;
    this.ofTier = this.byTier.get(tier) ?? new Map();
    this.byTier.set(tier, this.ofTier);
  }

  private meet(target: Target): number {
    const { ofTier, tier } = this;
    const night = this.nights(target);
    const group = ofTier.get(night) ?? this.found.push({ tier, night }) - 1;
    ofTier.set(night, group);
    ofTier.set(target, group);
    return group;
  }
}
