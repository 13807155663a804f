/** Small makings for journal tests: a folder, a wish, events, desks. */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach } from "vitest";
import { type Log, silentLog } from "../../src/base/log.js";
import type { Acted, DeriveNotices, Desk } from "../../src/journal/desk.js";
import type { Draft } from "../../src/journal/draft.js";
import type { Entry, NightslateEvent } from "../../src/journal/events.js";
import type { Notice } from "../../src/journal/notice.js";
import { type OpenedDesk, openDesk } from "../../src/journal/open-desk.js";
import { readHead, readPart, writeHead, writeParts } from "../../src/journal/snapshot.js";
import type { State } from "../../src/journal/state.js";
import type { Wish } from "../../src/queue/request.js";
import { ManualClock } from "../../src/tools/manual-clock.js";

/** 2026-11-25, 21:00 at Tern Hollow. */
export const EVENING = Date.UTC(2026, 10, 26, 3);
export const HOME = { surface: "terminal", channel: "class" };

export const noNotices: DeriveNotices = () => [];

const folders: string[] = [];
const desks: Desk[] = [];

afterEach(async () => {
  for (const desk of desks.splice(0)) await desk.close().catch(() => {});
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
});

/** An empty folder that is removed after the test. */
export function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "nightslate-journal-"));
  folders.push(folder);
  return folder;
}

/** A desk on a folder, closed after the test if the test has not closed it. */
export async function open(
  folder: string,
  { derive = noNotices, clock = new ManualClock(EVENING), log = silentLog as Log } = {},
): Promise<OpenedDesk> {
  const desk = await openDesk({ store: { kind: "sqlite", folder }, clock, derive, log });
  desks.push(desk);
  return desk;
}

const wish = (changes: Partial<Wish> = {}): Wish => ({
  target: {
    kind: "fixed",
    id: "M13",
    name: "Great Cluster in Hercules (M13)",
    type: "globular cluster",
    raDegrees: 250.42,
    decDegrees: 36.46,
    magnitude: 5.8,
    sizeArcminutes: 20,
  },
  filter: "V",
  exposureSeconds: 20,
  frames: 2,
  notBeforeUnixMs: null,
  note: null,
  ...changes,
});

export const made = (
  number: number,
  owner = "terminal:mira",
  changes: Partial<Wish> = {},
): NightslateEvent => ({
  type: "request.made",
  number,
  wish: wish(changes),
  owner,
  classId: "evening-2",
  group: "Alder",
  tier: 1,
  via: HOME,
});

export const taken = (number: number): NightslateEvent => ({
  type: "request.taken",
  number,
  freeUnixMs: EVENING + 90_000,
  altitudeDegrees: 61.2,
  airmass: 1.14,
  pointingAfter: null,
});

export const frame = (number: number, index: number): NightslateEvent => ({
  type: "frame.done",
  number,
  frame: {
    index,
    startUnixMs: EVENING,
    exposureSeconds: 20,
    filter: "V",
    imageFile: `frames/${number}-${index}.fits`,
    previewFile: null,
    verdict: { is: "usable", starsSeen: 40, backgroundElectrons: 210 },
    simulated: true,
  },
});

export const joined = (id: string, name: string, classId = "evening-2"): NightslateEvent => ({
  type: "person.joined",
  person: { id, name, classId, role: "student", group: "Alder", home: HOME },
});

export const notice = (key: string, people: readonly string[], text = "Observed."): Notice => ({
  key,
  kind: "completed",
  atUnixMs: EVENING,
  to: HOME,
  classId: "evening-2",
  people,
  audience: "class",
  title: "Done",
  lines: [[text]],
  attachment: null,
  quiet: false,
  actions: [],
});

/** Makes the next request. */
export function ask(
  desk: Desk,
  owner = "terminal:mira",
  changes: Partial<Wish> = {},
  onceKey?: string,
): Promise<Acted> {
  return desk.act((state) => [made(state.nextNumber, owner, changes)], {
    by: owner,
    onceKey: onceKey ?? null,
  });
}

/** Stores events as they are. */
export function record(desk: Desk, ...events: NightslateEvent[]): Promise<Acted> {
  return desk.act(() => events, { by: "telescope" });
}

export const entryOf = (
  id: number,
  events: readonly NightslateEvent[],
  changes: Partial<Entry> = {},
): Entry => ({
  id,
  atUnixMs: EVENING + id * 1_000,
  by: "terminal:mira",
  onceKey: null,
  events,
  notices: [],
  ...changes,
});

/** Everything in a state, order included, for comparing. */
export const contents = (state: State): string =>
  [...writeParts(state as Draft), writeHead(state as Draft, 0)].join("\n");

/** The state as a snapshot of it is read back. */
export function throughSnapshot(state: State): Draft {
  const parts = [...writeParts(state as Draft)];
  const { draft } = readHead(writeHead(state as Draft, parts.length)) as { draft: Draft };
  for (const part of parts) readPart(draft, part);
  return draft;
}

export async function all<T>(items: AsyncIterable<T>): Promise<T[]> {
  const list: T[] = [];
  for await (const item of items) list.push(item);
  return list;
}
