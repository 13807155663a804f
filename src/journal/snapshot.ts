/** The state as text and back, so that a start need not fold the whole journal. */
import { type Draft, emptyState } from "./draft.js";
import { FOLD_VERSION } from "./fold.js";

/** The parts that are maps of plain values. */
const MAPS = [
  "requests",
  "people",
  "alerts",
  "sessions",
  "frames",
  "takenTonight",
  "told",
  "cancels",
  "outbox",
  "parcels",
  "onceKeys",
  "jobs",
  "onceTimes",
] as const satisfies readonly (keyof Draft)[];
const SETS = ["waiting", "toldNext"] as const satisfies readonly (keyof Draft)[];
/** The parts that are maps of maps. */
const NESTED = ["groups", "remembered"] as const satisfies readonly (keyof Draft)[];

type Pairs = [never, never][];

/** The whole state as JSON. */
export function writeSnapshot(draft: Draft): string {
  const { targets, ...plain } = draft;
  const state: Record<string, unknown> = { ...plain };
  for (const name of MAPS) state[name] = [...draft[name]];
  for (const name of SETS) state[name] = [...draft[name]];
  for (const name of NESTED) state[name] = [...draft[name]].map(([key, inner]) => [key, [...inner]]);
  return JSON.stringify({ foldVersion: FOLD_VERSION, state });
}

/** The state that was written; null when another version of the fold wrote it. */
export function readSnapshot(json: string): Draft | null {
  const { foldVersion, state } = JSON.parse(json) as { foldVersion: number; state: Record<string, unknown> };
  if (foldVersion !== FOLD_VERSION) return null;
  const read: Record<string, unknown> = { ...emptyState(), ...state };
  for (const name of MAPS) read[name] = new Map(state[name] as Pairs);
  for (const name of SETS) read[name] = new Set(state[name] as never[]);
  for (const name of NESTED) {
    read[name] = new Map((state[name] as [string, Pairs][]).map(([key, inner]) => [key, new Map(inner)]));
  }
  const draft = read as unknown as Draft;
  shareTargets(draft);
  return draft;
}

/** Requests for one target hold one object again. */
function shareTargets(draft: Draft): void {
  const shared = new Map<string, string>();
  for (const [number, request] of draft.requests) {
    const json = JSON.stringify(request.target);
    const known = draft.targets.get(request.target.id);
    if (known && shared.get(known.id) === json) draft.requests.set(number, { ...request, target: known });
    else {
      draft.targets.set(request.target.id, request.target);
      shared.set(request.target.id, json);
    }
  }
}
