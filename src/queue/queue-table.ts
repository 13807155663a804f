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
  readonly owners: readonly string[];
}

/** Lays the table out. `exposingMs` tells how long a request's exposures take. */
export function queueTable(
  waiting: readonly Request[],
  nights: TargetNights,
  exposingMs: (request: Request) => Millis,
): QueueTable {
  const requests = inOrderOfAsking(waiting);
  const { groups, groupOf } = groupsOf(requests, nights);
  const owners = [...new Set(requests.map((request) => request.owner))];
  const ownerOf = new Map(owners.map((owner, index) => [owner, index]));
  const table = {
    requests,
    askedUnixMs: new Float64Array(requests.length),
    notBeforeUnixMs: new Float64Array(requests.length),
    exposingMs: new Float64Array(requests.length),
    group: groupOf,
    owner: new Int32Array(requests.length),
    groups,
    owners,
  };
  requests.forEach((request, row) => {
    table.askedUnixMs[row] = request.askedUnixMs;
    table.notBeforeUnixMs[row] = request.notBeforeUnixMs ?? Number.NEGATIVE_INFINITY;
    table.exposingMs[row] = exposingMs(request);
    table.owner[row] = ownerOf.get(request.owner) as number;
  });
  return table;
}

/** The queue usually comes in this order already; sorting is then skipped. */
function inOrderOfAsking(waiting: readonly Request[]): readonly Request[] {
  const inOrder = waiting.every(
    (request, row) => row === 0 || asked(waiting[row - 1] as Request, request) < 0,
  );
  return inOrder ? waiting : [...waiting].sort(asked);
}

function asked(a: Request, b: Request): number {
  return a.askedUnixMs - b.askedUnixMs || a.number - b.number;
}

function groupsOf(
  requests: readonly Request[],
  nights: TargetNights,
): { groups: readonly Group[]; groupOf: Int32Array } {
  const gathering = new Gathering(nights);
  const foundOf = new Int32Array(requests.length);
  requests.forEach((request, row) => {
    foundOf[row] = gathering.groupOf(request);
  });
  const { found } = gathering;
  const order = found
    .map((group, index) => ({ group, index }))
    .sort((a, b) => a.group.tier - b.group.tier || a.index - b.index);
  const placeOf = new Int32Array(found.length);
  order.forEach(({ index }, place) => {
    placeOf[index] = place;
  });
  return {
    groups: order.map(({ group }) => group),
    groupOf: foundOf.map((index) => placeOf[index]!),
  };
}

/** Groups in the order in which they are met. */
class Gathering {
  readonly found: Group[] = [];
  /** By tier; a target object that was met before need not be looked up again. */
  private readonly byTier = new Map<number, Map<Target | TargetNight, number>>();

  constructor(private readonly nights: TargetNights) {}

  groupOf({ tier, target }: Request): number {
    const ofTier = this.byTier.get(tier);
    if (ofTier !== undefined) return ofTier.get(target) ?? this.meet(target, tier, ofTier);
    const fresh = new Map<Target | TargetNight, number>();
    this.byTier.set(tier, fresh);
    return this.meet(target, tier, fresh);
  }

  private meet(target: Target, tier: number, ofTier: Map<Target | TargetNight, number>): number {
    const night = this.nights(target);
    const group = ofTier.get(night) ?? this.found.push({ tier, night }) - 1;
    ofTier.set(night, group);
    ofTier.set(target, group);
    return group;
  }
}
