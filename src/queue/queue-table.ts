/** The waiting requests of one night as columns of numbers: rows in order of asking, grouped by tier and target. */
import type { Millis } from "../base/units.js";
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
    notBeforeUnixMs: new Float64Array(requests.length),
    exposingMs: new Float64Array(requests.length),
    group: groupOf,
    owner: new Int32Array(requests.length),
    groups,
    owners,
  };
  requests.forEach((request, row) => {
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
  const found: Group[] = [];
  const byTier = new Map<number, Map<TargetNight, number>>();
  const foundOf = new Int32Array(requests.length);
  requests.forEach(({ tier, target }, row) => {
    const night = nights(target);
    const ofTier = byTier.get(tier) ?? new Map<TargetNight, number>();
    byTier.set(tier, ofTier);
    const known = ofTier.get(night);
    foundOf[row] = known ?? found.push({ tier, night }) - 1;
    if (known === undefined) ofTier.set(night, foundOf[row] as number);
  });
  const order = found.map((_, index) => index).sort((a, b) => tierOf(found, a) - tierOf(found, b) || a - b);
  const placeOf = new Int32Array(found.length);
  order.forEach((index, place) => {
    placeOf[index] = place;
  });
  return {
    groups: order.map((index) => found[index] as Group),
    groupOf: foundOf.map((index) => placeOf[index] as number),
  };
}

function tierOf(groups: readonly Group[], index: number): number {
  return (groups[index] as Group).tier;
}
