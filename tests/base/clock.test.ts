/** Clocks: faster than real time, moved on, made to wait, and a test's own. */
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { ScaledClock } from "../../src/base/clock.js";
import { ManualClock } from "../../src/tools/manual-clock.js";

describe("a scaled clock", () => {
  beforeEach(() => void vi.useFakeTimers({ now: 1_000_000 }));
  afterEach(() => void vi.useRealTimers());

  test("starts where it is told and runs at its speed", () => {
    const clock = new ScaledClock(50_000, 60);
    vi.advanceTimersByTime(1_000);
    expect(clock.now()).toBe(110_000);
  });

  test("does what is due at its own time, never at once, and not when called off", () => {
    const clock = new ScaledClock(0, 60);
    const done: string[] = [];
    clock.at(0, () => done.push("now"));
    clock.at(60_000, () => done.push("in a minute"));
    const callOff = clock.at(60_000, () => done.push("never"));
    expect(done).toEqual([]);
    callOff();
    vi.advanceTimersByTime(999);
    expect(done).toEqual(["now"]);
    vi.advanceTimersByTime(2);
    expect(done).toEqual(["now", "in a minute"]);
  });

  test("waits longer than a timer can: weeks ahead is not at once", () => {
    const clock = new ScaledClock(0, 1);
    const action = vi.fn();
    clock.at(40 * 86_400_000, action);
    vi.advanceTimersByTime(39 * 86_400_000);
    expect(action).not.toHaveBeenCalled();
    vi.advanceTimersByTime(86_400_001);
    expect(action).toHaveBeenCalledTimes(1);
  });

  test("moved on, does in order what became due on the way, and never goes back", () => {
    const clock = new ScaledClock(0, 1);
    const done: number[] = [];
    for (const due of [3_000, 1_000, 2_000, 9_000]) clock.at(due, () => done.push(due));
    clock.jumpTo(5_000);
    expect(clock.now()).toBe(5_000);
    vi.advanceTimersByTime(1);
    expect(done).toEqual([1_000, 2_000, 3_000]);
    clock.jumpTo(10);
    expect(clock.now()).toBe(5_001);
  });

  test("made to wait, stands still until the last who asked lets it go", () => {
    const clock = new ScaledClock(0, 10);
    const action = vi.fn();
    clock.at(500, action);
    const first = clock.pause();
    const second = clock.pause();
    vi.advanceTimersByTime(1_000);
    first();
    first();
    vi.advanceTimersByTime(1_000);
    expect(clock.now()).toBe(0);
    expect(action).not.toHaveBeenCalled();
    second();
    vi.advanceTimersByTime(51);
    expect(action).toHaveBeenCalledTimes(1);
    expect(clock.now()).toBe(510);
  });
});

test("a manual clock stops at each thing due, in order of time, then of asking", async () => {
  const clock = new ManualClock(0);
  const seen: [string, number][] = [];
  const note = (name: string) => () => void seen.push([name, clock.now()]);
  clock.at(20, note("second"));
  clock.at(10, () => {
    note("first")();
    clock.at(15, note("asked on the way"));
  });
  clock.at(20, note("third"));
  await clock.moveTo(30);
  expect(seen).toEqual([
    ["first", 10],
    ["asked on the way", 15],
    ["second", 20],
    ["third", 20],
  ]);
  expect(clock.nextDue()).toBeNull();
});
