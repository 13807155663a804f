/** The cause of a move is the thing without which the night would not have moved. */
import { describe, expect, it } from "vitest";
import { HOUR, MINUTE, type UtcMillis } from "../../src/base/units.js";
import { causesOf, type MoveCause } from "../../src/forecast/move-cause.js";
import type { Closing, NightLook } from "../../src/forecast/night-changes.js";
import type { NightInput } from "../../src/forecast/night-run.js";
import { playNight } from "../../src/forecast/play-night.js";
import { WhatMoved } from "../../src/forecast/what-moved.js";
import type { Request, RequestState } from "../../src/queue/request.js";
import { emptyNight, fixedTarget, request } from "./random-night.js";

const high = fixedTarget("high", 0, 42);
const low = fixedTarget("low", 30, 20);
const EIGHT = emptyNight("2026-11-25").nowUnixMs + 8 * HOUR;

const asked = (number: number, changes: Partial<Request> = {}): Request =>
  request(number, high, { exposureSeconds: 120, frames: 3, askedUnixMs: EIGHT - HOUR, ...changes });

/** Eight in the evening, four ask for a high target; #5 asks for a low one. */
const told: NightInput = {
  ...emptyNight("2026-11-25"),
  nowUnixMs: EIGHT,
  waiting: [...[1, 2, 3, 4].map((number) => asked(number)), request(5, low, { owner: "terminal:noor" })],
};

/** A night that goes on; each look is one entry of a journal. */
class Night {
  private entry = 1;
  private readonly states = new Map<number, RequestState>();
  private closing: Closing | null = null;
  private nextNumber = 6;
  private readonly moved: WhatMoved;

  constructor(public input: NightInput = told) {
    this.moved = new WhatMoved(this.look(), this.entry);
  }

  after(minutes: number, changes: Partial<NightInput> = {}): this {
    this.input = { ...this.input, nowUnixMs: this.input.nowUnixMs + minutes * MINUTE, ...changes };
    const { holdUntilUnixMs, nowUnixMs } = this.input;
    if (holdUntilUnixMs !== null && holdUntilUnixMs <= nowUnixMs)
      this.input = { ...this.input, holdUntilUnixMs: null };
    const newest = Math.max(...this.input.waiting.map(({ number }) => number));
    this.moved.follow({ ...this.look(), nextNumber: Math.max(this.nextNumber, newest + 1) }, ++this.entry);
    this.nextNumber = Math.max(this.nextNumber, newest + 1);
    return this;
  }

  joined(...requests: Request[]): this {
    return this.after(0, { waiting: [...this.input.waiting, ...requests] });
  }

  left(state: RequestState, ...numbers: number[]): this {
    for (const number of numbers) this.states.set(number, state);
    return this.after(0, { waiting: this.input.waiting.filter(({ number }) => !numbers.includes(number)) });
  }

  /** Takes what the run foresees. */
  taken(): this {
    const [turn] = playNight(this.input).turns;
    const request = this.input.waiting.find(({ number }) => number === turn?.number) as Request;
    const { pointingAfter: pointing, freeUnixMs } = turn as NonNullable<typeof turn>;
    const waiting = this.input.waiting.filter((each) => each !== request);
    return this.after(0, { waiting, pointing, current: { request, freeUnixMs } });
  }

  ended(state: RequestState): this {
    this.states.set(this.input.current?.request.number as number, state);
    return this.after(0, { current: null });
  }

  closed(what: Closing["what"], untilUnixMs: UtcMillis | null = null): this {
    this.closing = { what, sinceUnixMs: this.input.nowUnixMs, untilUnixMs };
    return this.after(0, { holdUntilUnixMs: untilUnixMs });
  }

  opened(): this {
    this.closing = null;
    return this.after(0, { holdUntilUnixMs: null });
  }

  /** What moved a request later (1) or earlier (−1) since an entry, and by how much. */
  why(sign: number, number = 5, since = 1): readonly MoveCause[] {
    const effects = this.effects(number, since);
    const { tier } = this.input.waiting.find((each) => each.number === number) as Request;
    return causesOf(effects, { tier, toldUnixMs: EIGHT, nowUnixMs: this.input.nowUnixMs, sign, open: true });
  }

  effects(number = 5, since = 1) {
    for (const _ of this.moved.catchUp());
    return this.moved.effects(number, since) ?? [];
  }

  private look(): NightLook {
    const stateOf = (number: number): RequestState => this.states.get(number) ?? "waiting";
    return { input: this.input, closing: this.closing, nextNumber: this.nextNumber, stateOf };
  }
}

const newer = (number: number, tier: number) =>
  asked(number, { tier, exposureSeconds: 200, askedUnixMs: EIGHT + MINUTE });
const startIn = (input: NightInput, number = 5): number =>
  playNight(input).turns.find((turn) => turn.number === number)?.takenUnixMs as number;

describe("what moved an estimate", () => {
  it("names staff requests that came in, by their tier and number", () => {
    const night = new Night().joined(newer(6, 0)).joined(newer(7, 0));
    expect(night.why(1)).toEqual([{ what: "made", requests: 2, tier: 0 }]);
  });

  it("names requests of the same tier without one, and counts none that runs behind it", () => {
    const behind = request(6, fixedTarget("lower", 330, -10));
    const night = new Night().joined(behind).joined(newer(7, 1));
    expect(night.why(1)).toEqual([{ what: "made", requests: 1, tier: null }]);
    expect(new Night().joined(behind).why(1)).toEqual([]);
    expect(new Night().joined(behind, newer(7, 1)).why(1)).toMatchObject([{ requests: 1 }]);
  });

  it("does not count one that came and went, but what else left", () => {
    const night = new Night().joined(newer(6, 0)).left("withdrawn", 6);
    expect(night.why(1)).toEqual([]);
    expect(night.left("cancelled", 1, 2).why(-1)).toEqual([{ what: "gone", requests: 2 }]);
    expect(night.joined(asked(1), asked(2)).why(-1)).toEqual([]);
    expect(night.why(1, 5, 4)).toEqual([{ what: "back", requests: 2 }]);
  });

  it("names a hold by the time it took, though its end was not known", () => {
    const night = new Night().taken().after(5).closed("held").after(6).after(6).opened();
    expect(night.why(1)).toEqual([
      { what: "held", times: 1, forMs: 12 * MINUTE, is: "over", later: true, reordered: false },
    ]);
  });

  it("does not blame a short hold for what came in meanwhile", () => {
    const night = new Night();
    night
      .closed("held", night.input.nowUnixMs + 5 * MINUTE)
      .joined(newer(6, 0))
      .joined(newer(7, 0));
    expect(night.why(1)).toEqual([{ what: "made", requests: 2, tier: 0 }]);
    const alone = new Night();
    alone.closed("held", alone.input.nowUnixMs + 5 * MINUTE);
    expect(alone.why(1)).toMatchObject([{ what: "held", forMs: 5 * MINUTE, is: "on" }]);
    expect(alone.after(1).opened().why(1)).toMatchObject([{ forMs: MINUTE, is: "over" }]);
  });

  it("names a fault of the telescope by the time it lasted", () => {
    const night = new Night().closed("fault").after(20).opened();
    expect(night.why(1)).toMatchObject([{ what: "fault", forMs: 20 * MINUTE, is: "over" }]);
  });

  it("names newcomers that came when the told night had already slipped", () => {
    const night = new Night({ ...told, waiting: told.waiting.filter(({ number }) => number > 3) });
    const start = startIn(night.input);
    // The delay has carried #5 past the newcomers' asking.
    night.taken().after((start - EIGHT) / MINUTE + 6);
    night.joined(newer(6, 0)).joined(newer(7, 0));
    expect(night.input.nowUnixMs).toBeGreaterThan(start);
    expect(night.why(1)).toEqual([{ what: "made", requests: 2, tier: 0 }]);
  });

  it("adds up to the whole move, whatever happened in between", () => {
    const night = new Night().taken().after(9).ended("completed").joined(newer(6, 0)).taken().after(3);
    night.closed("held").after(25).ended("failed").opened().after(0, { rule: "first-come" });
    const overheads = { ...night.input.overheads, dome: 3, slew: 1.5 };
    night.after(2, { overheads }).left("withdrawn", 3);
    const sum = night.effects().reduce((all, { byMs }) => all + byMs, 0);
    expect(sum).toBe(startIn(night.input) - startIn(told));
  });

  it("names the slower dome, and several parts as the machines", () => {
    const dome = new Night().after(0, { overheads: { ...told.overheads, dome: 8 } });
    const slower = { what: "overhead", component: "dome", slower: true, thought: false };
    expect(dome.why(1)).toEqual([slower]);
    dome.after(0, { overheads: { ...told.overheads, dome: 6 } });
    expect(dome.why(-1, 5, 2)).toEqual([{ ...slower, slower: false, thought: true }]);
    // Two seconds more each for an action of three frames.
    const { camera, mount } = told.observatory;
    const readOut = 1 + 2 / 3 / camera.readOutSeconds;
    const both = { ...told.overheads, readOut, settle: 1 + 2 / mount.settleSeconds };
    expect(new Night().after(0, { overheads: both }).why(1)).toMatchObject([{ component: null }]);
  });

  it("names another rule, one to be done again, an action that took longer, and one broken off", () => {
    expect(new Night().after(0, { rule: "one-each" }).why(-1)).toEqual([{ what: "rule", rule: "one-each" }]);
    const night = new Night().taken();
    const planned = (night.input.current?.freeUnixMs as number) - EIGHT;
    night.after(planned / MINUTE + 9).ended("failed");
    expect(night.why(1)).toEqual([{ what: "pace", byMs: 9 * MINUTE, reordered: false }]);
    expect(night.joined(asked(1)).why(1, 5, 4)).toEqual([{ what: "again", requests: 1 }]);
    expect(new Night().taken().after(1).ended("failed").why(-1)).toEqual([{ what: "stopped" }]);
    expect(new Night().taken().after(1).ended("completed").why(-1)).toMatchObject([{ what: "pace" }]);
  });

  it("names an idle telescope, and another request taken first", () => {
    expect(new Night().after(15).why(1)).toEqual([{ what: "idle", forMs: 15 * MINUTE, reordered: false }]);
    const { waiting, pointing } = told;
    const lastFirst = {
      waiting: waiting.filter(({ number }) => number !== 5),
      pointing,
      current: { request: waiting[4] as Request, freeUnixMs: EIGHT + 20 * MINUTE },
    };
    expect(new Night().after(0, lastFirst).why(1, 1)).toEqual([{ what: "taken", number: 5 }]);
  });

  it("says when a short delay moved it by far more than its own length, because the order changed", () => {
    const long = { exposureSeconds: 600, frames: 3 };
    // Five minutes decide whether the long one, which must wait until then, runs before #5.
    const notBeforeUnixMs = EIGHT + 4 * MINUTE;
    const waiting = [asked(1, { ...long, notBeforeUnixMs }), request(5, low)];
    const night = new Night({ ...told, waiting }).after(5);
    expect(night.why(1)).toEqual([{ what: "idle", forMs: 5 * MINUTE, reordered: true }]);
  });

  it("names two where neither accounts for half, and the greater alone where it does", () => {
    const night = new Night().joined(newer(6, 0));
    const heldMs = startIn(night.input) - startIn(told);
    night
      .closed("held")
      .after(heldMs / MINUTE)
      .opened();
    expect(night.why(1)).toHaveLength(1);
    night.after(0, { overheads: { ...told.overheads, readOut: 12 } });
    night.after(4 + heldMs / MINUTE);
    expect(night.why(1)).toHaveLength(2);
  });

  it("names the slow part alone, not also the delay that it made", () => {
    const pace = { change: { what: "pace", byMs: 4 * MINUTE }, byMs: 4 * MINUTE, requests: [] } as const;
    const dome = { what: "overhead", component: "dome", wasFactor: 1, factor: 3 } as const;
    const slower = { change: dome, byMs: 3 * MINUTE, requests: [] };
    const made = { what: "made", requests: [newer(6, 0)] } as const;
    const came = { change: made, byMs: 3.5 * MINUTE, requests: [6] };
    const moved = { tier: 1, toldUnixMs: EIGHT, nowUnixMs: EIGHT + HOUR, sign: 1, open: true };
    const whats = (...byMs: number[]) =>
      causesOf(
        [pace, slower, came].map((each, index) => ({ ...each, byMs: (byMs[index] as number) * MINUTE })),
        moved,
      ).map(({ what }) => what);
    expect(whats(4, 3.5, 3)).toEqual(["overhead"]);
    expect(whats(3.5, 4, 3)).toEqual(["overhead"]);
    expect(whats(4, 3, 3.5)).toEqual(["pace", "made"]);
    expect(whats(9, 3, 3.5)).toEqual(["pace"]);
  });

  it("names none when nothing happened, only the opposite, or what is not known so far back", () => {
    expect(new Night().after(0).why(1)).toEqual([]);
    expect(new Night().left("cancelled", 1, 2).why(1)).toEqual([]);
    const moved = new WhatMoved({ input: told, closing: null, nextNumber: 6, stateOf: () => "waiting" }, 7);
    expect(moved.effects(5, 6)).toBeNull();
    expect(moved.effects(5, 7)).toEqual([]);
  });
});
