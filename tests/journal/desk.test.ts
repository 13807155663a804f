/** How decisions become entries. */
import { describe, expect, test, vi } from "vitest";
import { silentLog } from "../../src/base/log.js";
import { Refusal } from "../../src/base/refusal.js";
import type { DeriveNotices, Desk } from "../../src/journal/desk.js";
import type { NightslateEvent } from "../../src/journal/events.js";
import { Journal } from "../../src/journal/journal.js";
import { openMemoryDesk } from "../../src/journal/open-desk.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import { all, ask, EVENING, joined, made, noNotices, notice, record, taken } from "./support.js";

function memoryDesk(derive: DeriveNotices = noNotices, clock = new ManualClock(EVENING)): Desk {
  return openMemoryDesk({ clock, derive });
}

async function codeOf(act: Promise<unknown>): Promise<string> {
  const refusal = await act.then(
    () => null,
    (error: unknown) => error,
  );
  expect(refusal).toBeInstanceOf(Refusal);
  return (refusal as Refusal).code;
}

describe("acting", () => {
  test("decisions are made in order of calling, each seeing those before it", async () => {
    const desk = memoryDesk();
    const acts = Array.from({ length: 40 }, (_, index) => ask(desk, `terminal:p${index}`));
    const ids = (await Promise.all(acts)).map(({ entry }) => entry?.id);
    expect(ids).toEqual(Array.from({ length: 40 }, (_, index) => index + 1));
    expect([...desk.state.requests.values()].map(({ number, owner }) => `${number} ${owner}`)).toEqual(
      ids.map((id, index) => `${id} terminal:p${index}`),
    );
  });

  test("while a decision is made, the desk's state is the one the decision is given", async () => {
    const desk = memoryDesk();
    const seen: boolean[] = [];
    const look = (): Promise<unknown> =>
      desk.act(
        (state) => {
          seen.push(state === desk.state);
          return [made(state.nextNumber)];
        },
        { by: "telescope" },
      );
    await Promise.all([look(), look(), look()]);
    expect(seen).toEqual([true, true, true]);
  });

  test("nothing shows before it is stored", async () => {
    const desk = memoryDesk();
    const act = ask(desk);
    expect(desk.state.requests.size).toBe(0);
    await act;
    expect(desk.state.requests.size).toBe(1);
  });

  test("a decision of no events writes nothing", async () => {
    const desk = memoryDesk();
    expect(await desk.act(() => [], { by: "schedule" })).toEqual({ entry: null, repeated: false });
    expect(await all(desk.entries())).toEqual([]);
  });

  test("a refusal reaches its caller alone, and the next decision is made", async () => {
    const desk = memoryDesk();
    const refused = desk.act(
      () => {
        throw new Refusal("unknown-target", "No such target.");
      },
      { by: "terminal:mira" },
    );
    const [code] = await Promise.all([codeOf(refused), ask(desk)]);
    expect(code).toBe("unknown-target");
    expect(desk.state.lastEntryId).toBe(1);
  });

  test("the same once key is acted on once, also in one burst, and answered with the first entry", async () => {
    const desk = memoryDesk();
    const [first, second] = await Promise.all([
      ask(desk, "terminal:mira", {}, "press-1"),
      ask(desk, "terminal:mira", {}, "press-1"),
    ]);
    const third = await ask(desk, "terminal:mira", {}, "press-1");
    expect(first.repeated).toBe(false);
    expect(second).toEqual({ entry: first.entry, repeated: true });
    expect(third).toEqual({ entry: first.entry, repeated: true });
    expect(desk.state.requests.size).toBe(1);
  });

  test("time never runs backwards, whatever the clock and the telescope say", async () => {
    const clock = new ManualClock(EVENING);
    const desk = memoryDesk(noNotices, clock);
    await desk.act((state) => [made(state.nextNumber)], { by: "telescope", atUnixMs: EVENING + 5_000 });
    await ask(desk);
    await desk.act((state) => [made(state.nextNumber)], { by: "telescope", atUnixMs: EVENING - 5_000 });
    const times = (await all(desk.entries())).map(({ atUnixMs }) => atUnixMs - EVENING);
    expect(times).toEqual([5_000, 5_000, 5_000]);
  });

  test("a take is never dated before the entry it follows, also when both are stored in one write", async () => {
    const desk = memoryDesk();
    const told: number[] = [];
    const at = (atUnixMs: number, decide: (number: number) => NightslateEvent): Promise<unknown> =>
      desk.act(
        (state, now) => {
          told.push(now - EVENING);
          return [decide(state.nextNumber)];
        },
        { by: "telescope", atUnixMs },
      );
    await Promise.all([at(EVENING + 5_000, made), at(EVENING - 5_000, () => taken(1))]);
    expect(told).toEqual([5_000, 5_000]);
    expect((await all(desk.entries())).map(({ atUnixMs }) => atUnixMs - EVENING)).toEqual([5_000, 5_000]);
    expect(desk.state.taken?.takenUnixMs).toBe(EVENING + 5_000);
    expect(desk.state.requests.get(1)?.takenUnixMs).toBe(EVENING + 5_000);
  });

  test("the decision is told the time that its entry will carry", async () => {
    const desk = memoryDesk();
    let told = 0;
    const { entry } = await desk.act(
      (state, now) => {
        told = now;
        return [made(state.nextNumber)];
      },
      { by: "telescope", atUnixMs: EVENING + 7 },
    );
    expect(entry?.atUnixMs).toBe(told);
    await expect(desk.act(() => [], { by: "telescope", atUnixMs: Number.NaN })).rejects.toThrow(/at no time/);
  });

  test("a burst is stored in a few writes, each decision as its own entry", async () => {
    const append = vi.spyOn(Journal.prototype, "append");
    const desk = memoryDesk();
    await Promise.all(Array.from({ length: 300 }, () => ask(desk)));
    expect(append.mock.calls.length).toBeLessThanOrEqual(3);
    expect(await all(desk.entries())).toHaveLength(300);
    append.mockRestore();
  });

  test("nothing is accepted once the desk is closing", async () => {
    const desk = memoryDesk();
    const last = ask(desk);
    const closed = desk.close();
    expect(await codeOf(ask(desk))).toBe("closing");
    expect((await last).entry?.id).toBe(1);
    await closed;
    await desk.close();
  });
});

describe("events that cannot follow are refused, and nothing of their decision is stored", () => {
  const cancel = (cancelId: string, ...numbers: number[]) =>
    ({ type: "requests.cancelled", cancelId, numbers, reason: "dew", by: "terminal:quill" }) as const;
  const undo = (cancelId: string, ...numbers: number[]) =>
    ({ type: "cancel.undone", cancelId, numbers, by: "terminal:quill" }) as const;
  const share = { type: "request.joined", number: 1, personId: "terminal:tomas" } as const;
  const leave = (personId: string) => ({ type: "request.left", number: 1, personId }) as const;

  test.each([
    ["a number out of turn", [made(7)], "the next number is #3"],
    ["a number given already", [made(2)], "given already"],
    ["a second take", [taken(1), taken(2)], "busy with #1"],
    ["completing what was not taken", [{ type: "request.completed", number: 1 } as const], "#1 is waiting"],
    [
      "withdrawing what is done",
      [
        taken(1),
        { type: "request.completed", number: 1 } as const,
        { type: "request.withdrawn", number: 1 } as const,
      ],
      "has to be waiting or taken",
    ],
    [
      "taking what is withdrawn",
      [{ type: "request.withdrawn", number: 2 } as const, taken(2)],
      "#2 is withdrawn",
    ],
    ["an unknown request", [cancel("c", 9)], "no request #9"],
    ["cancelling one twice", [cancel("c", 1, 1)], "named twice"],
    ["a cancel id used twice", [cancel("c", 1), cancel("c", 2)], "made already"],
    ["undoing what nobody cancelled", [undo("c", 1)], "no such cancellation"],
    ["undoing more than was cancelled", [cancel("c", 1), undo("c", 1, 2)], "not part"],
    ["undoing twice", [cancel("c", 1), undo("c", 1), undo("c", 1)], "no such cancellation"],
    ["joining twice", [share, share], "theirs already"],
    ["leaving alone", [leave("terminal:mira")], "withdraw it instead"],
    ["leaving what one is not in", [share, leave("terminal:ines")], "not theirs"],
  ])("%s", async (_, events, words) => {
    const desk = memoryDesk();
    await ask(desk);
    await ask(desk);
    const act = record(desk, joined("terminal:mira", "Mira"), ...events);
    await expect(act).rejects.toThrow(words);
    expect(await codeOf(record(desk, ...events))).toBe("impossible");
    expect(desk.state.lastEntryId).toBe(2);
    expect(desk.state.people.size).toBe(0);
  });
});

describe("notices", () => {
  test("are derived from the state before and after, and stored with their entry", async () => {
    const seen: unknown[] = [];
    const desk = memoryDesk((entry, before, after) => {
      seen.push([before.requests.size, after.requests.size, after.lastEntryId, [...after.waiting]]);
      return [notice(`${entry.id}:made`, ["terminal:mira"])];
    });
    await Promise.all([ask(desk), ask(desk)]);
    expect(seen).toEqual([
      [0, 1, 1, [1]],
      [1, 2, 2, [1, 2]],
    ]);
    const entries = await all(desk.entries());
    expect(entries.map(({ notices }) => notices.map(({ key }) => key))).toEqual([["1:made"], ["2:made"]]);
    expect([...desk.state.outbox.keys()]).toEqual(["1:made", "2:made"]);
  });

  test("a fault in the wording is logged and does not keep the fact out of the journal", async () => {
    const log = { ...silentLog, error: vi.fn() };
    const derive = (): never => {
      throw new Error("no words");
    };
    const desk = openMemoryDesk({ clock: new ManualClock(EVENING), derive, log });
    expect((await ask(desk)).entry?.notices).toEqual([]);
    expect(log.error).toHaveBeenCalledOnce();
  });
});

describe("listeners", () => {
  test("hear each entry in order, with the state as it was right after it", async () => {
    const desk = memoryDesk();
    const heard: unknown[] = [];
    desk.listen(({ id }) => heard.push([id, desk.state.lastEntryId, desk.state.requests.size]));
    await Promise.all([ask(desk), ask(desk), ask(desk)]);
    expect(heard).toEqual([
      [1, 1, 1],
      [2, 2, 2],
      [3, 3, 3],
    ]);
  });

  test("one that fails stops nobody else, and one that has left hears nothing", async () => {
    const log = { ...silentLog, error: vi.fn() };
    const desk = openMemoryDesk({ clock: new ManualClock(EVENING), derive: noNotices, log });
    const heard: number[] = [];
    desk.listen(() => {
      throw new Error("deaf");
    });
    const leave = desk.listen(({ id }) => heard.push(id));
    await ask(desk);
    leave();
    await ask(desk);
    expect(heard).toEqual([1]);
    expect(log.error).toHaveBeenCalledTimes(2);
  });

  test("one may act in turn", async () => {
    const desk = memoryDesk();
    const fourth = new Promise<void>((done) => {
      desk.listen(({ id }) => (id < 4 ? void ask(desk) : done()));
    });
    await ask(desk);
    await fourth;
    expect(desk.state.requests.size).toBe(4);
  });
});
