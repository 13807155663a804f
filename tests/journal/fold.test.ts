/** What entries add up to. */
import { describe, expect, test } from "vitest";
import { DAY } from "../../src/base/units.js";
import type { NightslateEvent } from "../../src/journal/events.js";
import { applyEntry, emptyState } from "../../src/journal/fold.js";
import { classesOf, memberOf, membersIn } from "../../src/journal/membership.js";
import { EVENING, entryOf, frame, HOME, joined, made, notice, taken, throughSnapshot } from "./support.js";

function stateAfter(...events: NightslateEvent[]) {
  const state = emptyState();
  events.forEach((event, index) => {
    applyEntry(state, entryOf(index + 1, [event]));
  });
  return state;
}

describe("a request", () => {
  test("waits from when it is made", () => {
    const state = stateAfter(made(1));
    expect(state.requests.get(1)).toMatchObject({
      state: "waiting",
      askedUnixMs: EVENING + 1_000,
      framesDone: 0,
    });
    expect([...state.waiting]).toEqual([1]);
    expect(state.nextNumber).toBe(2);
  });

  test("holds the telescope while it is taken, and lets go when it is completed", () => {
    const before = stateAfter(made(1), taken(1), frame(1, 1), frame(1, 2));
    const freeUnixMs = EVENING + 90_000;
    expect(before.taken).toEqual({
      ...{ number: 1, takenUnixMs: EVENING + 2_000, freeUnixMs },
      ...{ promisedUnixMs: freeUnixMs, reminded: false },
    });
    expect(before.waiting.size).toBe(0);
    expect(before.requests.get(1)).toMatchObject({ state: "taken", framesDone: 2 });
    expect(before.takenTonight.get("terminal:mira")).toBe(1);
    const state = stateAfter(made(1), taken(1), frame(1, 1), frame(1, 2), {
      type: "request.completed",
      number: 1,
    });
    expect(state.taken).toBeNull();
    expect(state.requests.get(1)).toMatchObject({ state: "completed", endedUnixMs: EVENING + 5_000 });
    expect(state.frames.get(1)?.map(({ index }) => index)).toEqual([1, 2]);
  });

  test("is free when its action was last said to end, and only the request under way can say so", () => {
    const later = EVENING + 400_000;
    const revised = (number: number): NightslateEvent => ({
      type: "action.revised",
      number,
      freeUnixMs: later,
    });
    expect(stateAfter(made(1), taken(1), revised(1)).taken?.freeUnixMs).toBe(later);
    expect(stateAfter(made(1), made(2), taken(1), revised(2)).taken?.freeUnixMs).toBe(EVENING + 90_000);
    expect(throughSnapshot(stateAfter(made(1), taken(1), revised(1))).taken?.freeUnixMs).toBe(later);
  });

  test("counts a frame that is reported twice once", () => {
    const state = stateAfter(made(1), taken(1), frame(1, 1), frame(1, 1));
    expect(state.requests.get(1)?.framesDone).toBe(1);
    expect(state.frames.get(1)).toHaveLength(1);
  });

  test("goes back to its old place when it is returned, and its turn is not counted", () => {
    const state = stateAfter(made(1), made(2), made(3), taken(2), {
      type: "request.returned",
      number: 2,
      reason: "cloud",
      by: null,
    });
    expect([...state.waiting]).toEqual([1, 2, 3]);
    expect(state.requests.get(2)).toMatchObject({
      state: "waiting",
      askedUnixMs: EVENING + 2_000,
      takenUnixMs: null,
      reason: "cloud",
    });
    expect(state.taken).toBeNull();
    expect(state.takenTonight.get("terminal:mira")).toBe(0);
  });

  test("can be put back after it failed", () => {
    const state = stateAfter(
      made(1),
      taken(1),
      { type: "request.failed", number: 1, reason: "trailed" },
      { type: "request.returned", number: 1, reason: "once more", by: "terminal:quill" },
    );
    expect(state.requests.get(1)).toMatchObject({ state: "waiting", endedUnixMs: null });
  });

  test("cancelled while taken frees the telescope; undone, it waits again in its old place", () => {
    const cancel: NightslateEvent = {
      type: "requests.cancelled",
      cancelId: "c1",
      numbers: [1, 2],
      reason: "dew",
      by: "terminal:quill",
    };
    const cancelled = stateAfter(made(1), made(2), made(3), taken(1), cancel);
    expect(cancelled.taken).toBeNull();
    expect([...cancelled.waiting]).toEqual([3]);
    expect(cancelled.requests.get(2)).toMatchObject({ state: "cancelled", reason: "dew" });
    const undone = stateAfter(made(1), made(2), made(3), taken(1), cancel, {
      type: "cancel.undone",
      cancelId: "c1",
      numbers: [1, 2],
      by: "terminal:quill",
    });
    expect([...undone.waiting]).toEqual([1, 2, 3]);
    expect(undone.requests.get(1)).toMatchObject({ state: "waiting", reason: null, takenUnixMs: null });
    expect(undone.cancels.size).toBe(0);
  });

  test("passes to the first sharer when its owner leaves, without the owner's words", () => {
    const state = stateAfter(
      made(1, "terminal:mira", { note: "for my essay" }),
      { type: "request.joined", number: 1, personId: "terminal:tomas" },
      { type: "request.joined", number: 1, personId: "terminal:ines" },
      { type: "request.left", number: 1, personId: "terminal:mira" },
    );
    expect(state.requests.get(1)).toMatchObject({
      owner: "terminal:tomas",
      sharers: ["terminal:ines"],
      note: null,
    });
  });

  test("what cannot follow is passed over, and said to be", () => {
    const state = stateAfter(made(1));
    const before = JSON.stringify([...state.requests]);
    expect(applyEntry(state, entryOf(2, [{ type: "request.completed", number: 1 }, frame(7, 1)]))).toBe(2);
    expect(JSON.stringify([...state.requests])).toBe(before);
    expect(state.lastEntryId).toBe(2);
  });

  test("targets are held once, however many ask for them", () => {
    const state = stateAfter(...Array.from({ length: 50 }, (_, index) => structuredClone(made(index + 1))));
    expect(new Set([...state.requests.values()].map(({ target }) => target)).size).toBe(1);
  });
});

describe("what grows is let go of", () => {
  test("once keys after a day", () => {
    const state = emptyState();
    applyEntry(state, entryOf(1, [made(1)], { onceKey: "old", atUnixMs: EVENING }));
    applyEntry(state, entryOf(2, [made(2)], { onceKey: "new", atUnixMs: EVENING + DAY }));
    expect([...state.onceKeys.keys()]).toEqual(["old", "new"]);
    applyEntry(state, entryOf(3, [made(3)], { atUnixMs: EVENING + DAY + 1 }));
    expect([...state.onceKeys]).toEqual([["new", 2]]);
    expect(state.onceTimes.size).toBe(1);
  });

  test("cancellations after the longest time in which they can be undone", () => {
    const state = stateAfter(made(1), {
      type: "requests.cancelled",
      cancelId: "c1",
      numbers: [1],
      reason: "dew",
      by: "terminal:quill",
    });
    applyEntry(state, entryOf(3, [made(2)], { atUnixMs: EVENING + 2_000 + DAY }));
    expect(state.cancels.size).toBe(1);
    applyEntry(state, entryOf(4, [made(3)], { atUnixMs: EVENING + 2_001 + DAY }));
    expect(state.cancels.size).toBe(0);
  });

  test("overhead samples beyond the newest two hundred", () => {
    const measured = (configuredMs: number): NightslateEvent => ({
      type: "overheads.measured",
      number: 1,
      samples: [{ component: "slew", configuredMs, measuredMs: 1 }],
    });
    const state = stateAfter(made(1), ...Array.from({ length: 250 }, (_, index) => measured(index)));
    expect(state.overheadSamples.map(({ configuredMs }) => configuredMs)).toEqual(
      Array.from({ length: 200 }, (_, index) => index + 50),
    );
  });

  test("notices once delivered or dropped, and their parcel with the last of them", () => {
    const state = emptyState();
    const notices = ["a", "b", "c"].map((key) => notice(key, ["terminal:mira"]));
    applyEntry(state, entryOf(1, [made(1)], { notices }));
    applyEntry(state, entryOf(2, [{ type: "parcel.made", parcelKey: "p", noticeKeys: ["a", "b"] }]));
    applyEntry(state, entryOf(3, [{ type: "notices.delivered", keys: ["a"], messageId: "m1" }]));
    expect([...state.outbox.keys()]).toEqual(["b", "c"]);
    expect(state.parcels.has("p")).toBe(true);
    applyEntry(state, entryOf(4, [{ type: "notices.dropped", keys: ["b"], reason: "left" }]));
    expect([...state.outbox.keys()]).toEqual(["c"]);
    expect(state.parcels.size).toBe(0);
  });

  test("estimates told, when the request no longer waits", () => {
    const told: NightslateEvent = {
      type: "estimates.told",
      estimates: [{ number: 1, startUnixMs: EVENING }],
    };
    const next: NightslateEvent = { type: "request.next", number: 1, startUnixMs: EVENING };
    const waiting = stateAfter(made(1), told, next);
    expect([waiting.told.get(1), waiting.toldNext.has(1)]).toEqual([EVENING, true]);
    const busy = stateAfter(made(1), told, next, taken(1), told, next);
    expect([busy.told.size, busy.toldNext.size]).toEqual([0, 0]);
  });
});

describe("the night, the class and the machines", () => {
  test("a new night begins with nobody's turn taken and nobody told that they are next", () => {
    const state = stateAfter(
      made(1),
      made(2),
      taken(1),
      { type: "request.next", number: 2, startUnixMs: EVENING },
      {
        type: "night.began",
        date: "2026-11-26",
        carriedOver: [2],
      },
    );
    expect([state.night, state.takenTonight.size, state.toldNext.size]).toEqual(["2026-11-26", 0, 0]);
  });

  test("a moved estimate is what later moves are measured from", () => {
    const state = stateAfter(made(1), {
      type: "estimates.moved",
      moves: [{ number: 1, startUnixMs: null, fromUnixMs: EVENING, because: null }],
    });
    expect(state.told.get(1)).toBeNull();
  });

  test("a group's members leave the group they were in", () => {
    const group = (name: string, members: string[]): NightslateEvent => ({
      type: "group.set",
      classId: "evening-2",
      group: name,
      members,
    });
    const state = stateAfter(
      joined("terminal:mira", "Mira"),
      joined("terminal:ines", "Ines"),
      group("Alder", ["terminal:mira"]),
      group("Birch", ["terminal:mira", "terminal:ines"]),
    );
    expect([...(state.groups.get("evening-2") ?? [])]).toEqual([
      ["Alder", []],
      ["Birch", ["terminal:mira", "terminal:ines"]],
    ]);
    expect(state.people.get("terminal:mira")?.group).toBe("Birch");
  });

  test("who comes to a second class stays what they are in the first, with a name, role, group and home in each", () => {
    const yard = { surface: "yard", channel: "b" };
    const elsewhere: NightslateEvent = {
      type: "person.joined",
      person: {
        id: "terminal:mira",
        name: "Mira B.",
        classId: "morning-1",
        role: "operator",
        group: null,
        home: yard,
      },
    };
    const group = { type: "group.set", classId: "evening-2", group: "Birch" } as const;
    const state = stateAfter(joined("terminal:mira", "Mira"), elsewhere, {
      ...group,
      members: ["terminal:mira"],
    });
    expect(memberOf(state, "terminal:mira", "evening-2")).toMatchObject({
      name: "Mira",
      role: "student",
      group: "Birch",
      home: HOME,
    });
    expect(memberOf(state, "terminal:mira", "morning-1")).toMatchObject({
      name: "Mira B.",
      role: "operator",
      group: null,
      home: yard,
    });
    expect(memberOf(state, "terminal:mira", "guests")).toBeNull();
    expect(classesOf(state, "terminal:mira")).toEqual(["morning-1", "evening-2"]);
    expect(membersIn(state, "evening-2").map((each) => each.name)).toEqual(["Mira"]);
    const back = stateAfter(joined("terminal:mira", "Mira"), elsewhere, joined("terminal:mira", "Mira"));
    expect(classesOf(back, "terminal:mira")).toEqual(["evening-2", "morning-1"]);
  });

  test("who is forgotten has a name in none of their classes", () => {
    const state = stateAfter(
      joined("terminal:mira", "Mira"),
      {
        type: "person.joined",
        person: {
          id: "terminal:mira",
          name: "Mira B.",
          classId: "morning-1",
          role: "student",
          group: null,
          home: HOME,
        },
      },
      { type: "person.forgotten", personId: "terminal:mira" },
    );
    expect(JSON.stringify(state.people.get("terminal:mira"))).not.toContain("Mira");
  });

  test("holds, the rule, equipment, sessions, jobs and what surfaces remember are kept", () => {
    const equipment = { telescope: "ready", dome: "open", camera: "away", sky: "cloud" } as const;
    const hold = { reason: "cloud", by: "terminal:quill", sinceUnixMs: EVENING, untilUnixMs: null };
    const session = {
      type: "session.opened",
      classId: "evening-2",
      by: "terminal:quill",
      untilUnixMs: null,
    } as const;
    const state = stateAfter(
      { type: "hold.placed", hold },
      { type: "rule.chosen", rule: "one-each", by: "terminal:quill" },
      { type: "equipment.changed", equipment, by: null },
      session,
      { type: "job.ran", job: "noon", dueUnixMs: EVENING },
      { type: "surface.remembered", surface: "room", key: "board", value: "17" },
      { type: "surface.remembered", surface: "room", key: "old", value: "1" },
      { type: "surface.remembered", surface: "room", key: "old", value: null },
    );
    expect(state).toMatchObject({ hold, rule: "one-each", equipment });
    expect(state.sessions.get("evening-2")).toEqual({ openedUnixMs: EVENING + 4_000, untilUnixMs: null });
    expect(state.jobs.get("noon")).toBe(EVENING);
    expect([...(state.remembered.get("room") ?? [])]).toEqual([["board", "17"]]);
    const later = stateAfter(
      session,
      { type: "session.closed", classId: "evening-2", by: null },
      { type: "hold.placed", hold },
      {
        type: "hold.lifted",
        by: null,
      },
    );
    expect([later.sessions.size, later.hold]).toEqual([0, null]);
  });

  test("a forgotten person has no name, no words, no choices and no letters of their own", () => {
    const state = emptyState();
    applyEntry(
      state,
      entryOf(1, [joined("terminal:mira", "Mira"), made(1, "terminal:mira", { note: "mine" })]),
    );
    applyEntry(
      state,
      entryOf(
        2,
        [
          {
            type: "person.alerts",
            personId: "terminal:mira",
            choice: { how: "direct", quietFrom: null, quietUntil: null },
          },
        ],
        {
          notices: [notice("own", ["terminal:mira"]), notice("both", ["terminal:mira", "terminal:ines"])],
        },
      ),
    );
    applyEntry(state, entryOf(3, [{ type: "person.forgotten", personId: "terminal:mira" }]));
    expect(state.people.get("terminal:mira")).toMatchObject({ name: "someone", group: "Alder", home: HOME });
    expect(state.requests.get(1)?.note).toBeNull();
    expect(state.alerts.size).toBe(0);
    expect([...state.outbox.keys()]).toEqual(["both"]);
  });
});
