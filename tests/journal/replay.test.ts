/** However the state was reached, it is the same: decided live, folded from the start, or from a snapshot and its tail. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { MINUTE } from "../../src/base/units.js";
import type { Desk } from "../../src/journal/desk.js";
import type { NightslateEvent } from "../../src/journal/events.js";
import { applyEntry, emptyState } from "../../src/journal/fold.js";
import { Journal } from "../../src/journal/journal.js";
import { entryKey } from "../../src/journal/keys.js";
import { MemoryMedium, openMemory } from "../../src/journal/memory/memory-store.js";
import { openMemoryDesk } from "../../src/journal/open-desk.js";
import { seal } from "../../src/journal/seal.js";
import { readHead, writeHead } from "../../src/journal/snapshot.js";
import type { State } from "../../src/journal/state.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import {
  all,
  ask,
  contents,
  EVENING,
  frame,
  joined,
  made,
  newFolder,
  notice,
  open,
  record,
  taken,
  throughSnapshot,
} from "./support.js";

/** Turns two random numbers into an event that suits the state, or into none. */
const STEPS: readonly ((state: State, pick: number) => NightslateEvent[])[] = [
  (state, pick) => [made(state.nextNumber, `terminal:p${pick % 5}`, { note: pick % 2 ? "mine" : null })],
  (_, pick) => [
    joined(`terminal:p${pick % 5}`, `Person ${pick}`, pick % 3 === 0 ? "morning-1" : "evening-2"),
  ],
  (state, pick) => waitingAt(state, pick).map((number) => ({ type: "request.withdrawn", number })),
  (state, pick) => (state.taken ? [] : waitingAt(state, pick).map(taken)),
  (state, pick) => (state.taken ? [frame(state.taken.number, 1 + (pick % 3))] : []),
  (state) => (state.taken ? [{ type: "request.completed", number: state.taken.number }] : []),
  (state) =>
    state.taken ? [{ type: "request.returned", number: state.taken.number, reason: "cloud", by: null }] : [],
  (state, pick) => {
    const numbers = [...new Set([...waitingAt(state, pick), ...(state.taken ? [state.taken.number] : [])])];
    const cancelId = `c${state.lastEntryId}`;
    return [{ type: "requests.cancelled", cancelId, numbers, reason: "dew", by: "terminal:quill" }];
  },
  (state) =>
    [...state.cancels.values()].slice(0, 1).map(({ cancelId, numbers }) => ({
      type: "cancel.undone" as const,
      cancelId,
      numbers,
      by: "terminal:quill",
    })),
  (state, pick) =>
    waitingAt(state, pick).map((number) => ({
      type: "request.joined" as const,
      number,
      personId: `terminal:q${pick}`,
    })),
  (state) =>
    [...state.requests.values()]
      .filter(({ state: now, sharers }) => now === "waiting" && sharers.length > 0)
      .slice(0, 1)
      .map(({ number, owner }) => ({ type: "request.left" as const, number, personId: owner })),
  (_, pick) => [{ type: "person.forgotten", personId: `terminal:p${pick % 5}` }],
  (state) => [{ type: "notices.delivered", keys: [...state.outbox.keys()].slice(0, 2), messageId: null }],
  (state, pick) => [
    { type: "parcel.made", parcelKey: `p${pick}`, noticeKeys: [...state.outbox.keys()].slice(0, 2) },
  ],
  (state, pick) => [
    {
      type: "estimates.told",
      estimates: [...state.waiting].map((number) => ({ number, startUnixMs: EVENING + pick })),
    },
  ],
  (_, pick) => [{ type: "night.began", date: `2026-11-${10 + (pick % 20)}`, carriedOver: [] }],
  (_, pick) => [
    { type: "surface.remembered", surface: "room", key: `k${pick % 3}`, value: pick % 2 ? "v" : null },
  ],
  (_, pick) => [
    { type: "group.set", classId: "evening-2", group: `G${pick % 2}`, members: [`terminal:p${pick % 5}`] },
  ],
];

function waitingAt(state: State, pick: number): number[] {
  const waiting = [...state.waiting];
  const number = waiting[pick % Math.max(1, waiting.length)];
  return number === undefined ? [] : [number];
}

const story = fc.array(
  fc.record({
    step: fc.nat({ max: STEPS.length - 1 }),
    pick: fc.nat({ max: 50 }),
    minutes: fc.nat({ max: 200 }),
    together: fc.boolean(),
    onceKey: fc.option(fc.constantFrom("x", "y", "z")),
  }),
  { maxLength: 60, size: "max" },
);

function storyDesk(clock: ManualClock): Desk {
  return openMemoryDesk({
    clock,
    derive: (entry) =>
      entry.events.some(({ type }) => type === "request.made")
        ? [notice(`${entry.id}:made`, [entry.by])]
        : [],
  });
}

async function tell(desk: Desk, clock: ManualClock, steps: readonly StoryStep[]) {
  let pending: Promise<unknown>[] = [];
  for (const { step, pick, minutes, together, onceKey } of steps) {
    await clock.moveTo(clock.now() + minutes * MINUTE, async () => {});
    const choose = STEPS[step] as (typeof STEPS)[number];
    pending.push(desk.act((state) => choose(state, pick), { by: "terminal:p1", onceKey }).catch(() => {}));
    if (together) continue;
    await Promise.all(pending);
    pending = [];
  }
  await Promise.all(pending);
}

interface StoryStep {
  step: number;
  pick: number;
  minutes: number;
  together: boolean;
  onceKey: string | null;
}

describe("any story told to a desk", () => {
  test("adds up to the same state live, from the first entry, and from any snapshot with its tail", async () => {
    await fc.assert(
      fc.asyncProperty(story, fc.nat(), async (steps, cut) => {
        const clock = new ManualClock(EVENING);
        const desk = storyDesk(clock);
        await tell(desk, clock, steps);
        // Forgetting rewrites what is stored: the state must not notice.
        const entries = await all(desk.entries());
        let state = emptyState();
        for (const [index, entry] of entries.entries()) {
          if (index === cut % entries.length) state = throughSnapshot(state);
          applyEntry(state, entry);
        }
        expect(contents(state)).toBe(contents(desk.state));
      }),
      { numRuns: 300 },
    );
  });

  test("keeps the telescope, the queue and the requests' states in step", async () => {
    await fc.assert(
      fc.asyncProperty(story, async (steps) => {
        const clock = new ManualClock(EVENING);
        const desk = storyDesk(clock);
        await tell(desk, clock, steps);
        const { requests, waiting, taken, nextNumber } = desk.state;
        const numbersIn = (wanted: string): number[] =>
          [...requests.values()].filter(({ state }) => state === wanted).map(({ number }) => number);
        expect([...waiting]).toEqual(numbersIn("waiting").sort((a, b) => a - b));
        expect(numbersIn("taken")).toEqual(taken ? [taken.number] : []);
        expect([...requests.keys()]).toEqual(Array.from({ length: nextNumber - 1 }, (_, index) => index + 1));
      }),
      { numRuns: 200 },
    );
  });
});

describe("after a restart", () => {
  test("the state is what it was, and acting goes on where it stopped", async () => {
    const folder = newFolder();
    const desk = await open(folder);
    await ask(desk, "terminal:mira", {}, "press-1");
    await record(desk, joined("terminal:mira", "Mira"), taken(1));
    const before = contents(desk.state);
    await desk.close();
    const again = await open(folder);
    expect(again.reports).toEqual([]);
    expect(contents(again.state)).toBe(before);
    expect((await ask(again, "terminal:mira", {}, "press-1")).repeated).toBe(true);
    expect((await ask(again)).entry?.id).toBe(3);
  });

  test("a long journal is taken up from a snapshot, and few snapshots are kept", async () => {
    const folder = newFolder();
    const desk = await open(folder);
    for (let burst = 0; burst < 13; burst++) {
      await Promise.all(Array.from({ length: 250 }, (_, index) => ask(desk, `terminal:p${index % 30}`)));
    }
    const before = contents(desk.state);
    await desk.close();
    const { LibsqlStore } = await import("../../src/journal/sqlite/libsql-store.js");
    const store = new LibsqlStore(`${folder}/journal.db`);
    await store.connect();
    const heads = (await store.keys("snapshot:", "snapshot;")).filter((key) => /^snapshot:\d+$/.test(key));
    expect(heads).toEqual(["snapshot:000000002000", "snapshot:000000003000"]);
    await store.disconnect();
    const again = await open(folder);
    expect(contents(again.state)).toBe(before);
    expect(await all(again.entries(3_249))).toHaveLength(2);
  });

  test("a snapshot by another version of the fold is not believed", () => {
    const text = writeHead(emptyState(), 0);
    expect(readHead(text)).not.toBeNull();
    expect(readHead(text.replace(/"foldVersion":\d+/, '"foldVersion":0'))).toBeNull();
  });
});

test("what an earlier version offered as a line is offered as a command still", async () => {
  const journal = new Journal(openMemory(new MemoryMedium()));
  const lines = ["/when 12", "/withdraw 3", "/request 05 35 17.3 -05 23 28 clear 20 3"];
  const actions = lines.map((command) => ({ command, label: "Press", onlyFor: null }));
  const entry = { id: 1, atUnixMs: EVENING, by: "telescope", onceKey: null, events: [] };
  const stored = { ...entry, notices: [{ ...notice("1:completed", []), actions }] };
  await journal.write([{ key: entryKey(1), value: seal(JSON.stringify(stored)) }]);
  expect((await journal.entry(1))?.notices[0]?.actions).toEqual([
    { command: "when", options: { request: "12" }, label: "Press", onlyFor: null },
    { command: "withdraw", options: { request: "3" }, label: "Press", onlyFor: null },
    {
      command: "request",
      options: { target: "05 35 17.3 -05 23 28", filter: "clear", exposure: "20", frames: "3" },
      label: "Press",
      onlyFor: null,
    },
  ]);
});
