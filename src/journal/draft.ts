/** The state as the fold changes it: everyone else sees it as `State`. */
import type { UtcMillis } from "../base/units.js";
import { freshCalibration } from "../forecast/learn/calibration.js";
import { EMPTY_TALLY } from "../forecast/learn/experience.js";
import type { Target } from "../sky/target.js";
import type { EventType, Happened } from "./events.js";
import { LayeredMap, LayeredSet, type MapLike, type SetLike } from "./layered.js";
import type { State } from "./state.js";

type Changeable<T> =
  T extends ReadonlyMap<infer K, infer V> ? MapLike<K, V> : T extends ReadonlySet<infer V> ? SetLike<V> : T;

/** Maps and sets are changed in place; all other values are replaced, never changed. */
export type Draft = { -readonly [Key in keyof State]: Changeable<State[Key]> } & {
  /** When each once key was used, in order: so that old ones can be let go. */
  readonly onceTimes: MapLike<string, UtcMillis>;
  /** One object per target, however many requests name it. */
  readonly targets: Map<string, Target>;
};

/** One small function for each type of event. */
export type Folds = {
  readonly [Type in EventType]: (draft: Draft, event: Happened<Type>, atUnixMs: UtcMillis) => void;
};

/** The state before anything happened. */
export function emptyState(): Draft {
  return {
    lastEntryId: 0,
    lastEntryUnixMs: 0,
    requests: new Map(),
    waiting: new Set(),
    nextNumber: 1,
    people: new Map(),
    lastActive: new Map(),
    alerts: new Map(),
    sessions: new Map(),
    groups: new Map(),
    hold: null,
    rule: null,
    plan: null,
    // An observatory at rest, until something reports otherwise.
    equipment: { telescope: "ready", dome: "shut", camera: "fitted", sky: "unknown" },
    domeByStaff: false,
    diskShort: null,
    taken: null,
    stopping: null,
    pointing: null,
    frames: new Map(),
    takenTonight: new Map(),
    overheadSamples: [],
    tally: EMPTY_TALLY,
    tallyBefore: EMPTY_TALLY,
    calibration: freshCalibration(),
    told: new Map(),
    earliestChanged: 0,
    toldNext: new Set(),
    overtaken: new Map(),
    cancels: new Map(),
    outbox: new Map(),
    parcels: new Map(),
    onceKeys: new Map(),
    jobs: new Map(),
    remembered: new Map(),
    night: null,
    onceTimes: new Map(),
    targets: new Map(),
  };
}

/** The parts that are maps of plain values. */
export const MAPS = [
  "requests",
  "people",
  "lastActive",
  "alerts",
  "sessions",
  "frames",
  "takenTonight",
  "told",
  "overtaken",
  "cancels",
  "outbox",
  "parcels",
  "onceKeys",
  "jobs",
  "onceTimes",
] as const satisfies readonly (keyof Draft)[];
export const SETS = ["waiting", "toldNext"] as const satisfies readonly (keyof Draft)[];
/** The parts that are maps of maps. */
export const NESTED = ["groups", "remembered"] as const satisfies readonly (keyof Draft)[];

/** What `base` would become: changes to the layer leave the base as it is, and nothing is copied. */
export function layerOver(base: Draft): Draft {
  const layer: Record<string, unknown> = { ...base };
  for (const name of [...MAPS, ...NESTED])
    layer[name] = new LayeredMap(base[name] as ReadonlyMap<unknown, unknown>);
  for (const name of SETS) layer[name] = new LayeredSet(base[name]);
  return layer as unknown as Draft;
}
