/**
 * The state as texts and back, so that a start need not fold the whole journal. It is cut into parts, since one
 * text of ten thousand requests would take several times its size in memory to write and to read.
 */
import { type Draft, emptyState, MAPS, NESTED, SETS } from "./draft.js";
import { FOLD_VERSION } from "./fold.js";
import { sharedTarget } from "./fold-requests.js";

/** Members of a map or set in one part. */
const PART_SIZE = 500;

type Pairs = [never, never][];

interface Head {
  readonly foldVersion: number;
  readonly parts: number;
  readonly state: Record<string, unknown>;
}

/** The maps and sets of the state, a bounded number of members to a text. */
export function* writeParts(draft: Draft): Generator<string> {
  for (const name of [...MAPS, ...SETS]) {
    let members: unknown[] = [];
    for (const member of draft[name]) {
      members.push(member);
      if (members.length < PART_SIZE) continue;
      yield JSON.stringify([name, members]);
      members = [];
    }
    if (members.length > 0) yield JSON.stringify([name, members]);
  }
}

/** Everything else in the state, and how many parts belong to it. */
export function writeHead(draft: Draft, parts: number): string {
  const state: Record<string, unknown> = { ...draft };
  for (const name of [...MAPS, ...SETS, "targets"]) delete state[name];
  for (const name of NESTED) state[name] = [...draft[name]].map(([key, inner]) => [key, [...inner]]);
  return JSON.stringify({ foldVersion: FOLD_VERSION, parts, state } satisfies Head);
}

/** The state so far and the number of parts to add to it; null when another version of the fold wrote the head. */
export function readHead(json: string): { draft: Draft; parts: number } | null {
  const { foldVersion, parts, state } = JSON.parse(json) as Head;
  if (foldVersion !== FOLD_VERSION) return null;
  const read: Record<string, unknown> = { ...emptyState(), ...state };
  for (const name of NESTED) {
    read[name] = new Map((state[name] as [string, Pairs][]).map(([key, inner]) => [key, new Map(inner)]));
  }
  return { draft: read as unknown as Draft, parts };
}

/** Adds a part to the state. Parts come in the order in which they were written. */
export function readPart(draft: Draft, json: string): void {
  const [name, members] = JSON.parse(json) as [(typeof MAPS)[number] | (typeof SETS)[number], unknown[]];
  if (name === "requests") {
    for (const [number, request] of members as [number, Parameters<Draft["requests"]["set"]>[1]][]) {
      draft.requests.set(number, { ...request, target: sharedTarget(draft, request.target) });
    }
  } else if (name === "waiting" || name === "toldNext") {
    for (const member of members as number[]) draft[name].add(member);
  } else {
    for (const [key, value] of members as Pairs) draft[name].set(key, value);
  }
}

/** How many parts belong to a head, whatever version wrote it. */
export const partsOf = (json: string): number => (JSON.parse(json) as Head).parts;
