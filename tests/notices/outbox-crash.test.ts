/** Whatever step the process dies at, every stored notice reaches its place once, in order. */
import { describe, expect, test } from "vitest";
import { silentLog } from "../../src/base/log.js";
import { HOUR } from "../../src/base/units.js";
import type { Desk } from "../../src/journal/desk.js";
import type { NightslateEvent } from "../../src/journal/events.js";
import { MemoryStore } from "../../src/journal/memory/memory-store.js";
import type { Notice } from "../../src/journal/notice.js";
import { deriveNotices } from "../../src/notices/derive.js";
import { startOutbox } from "../../src/notices/outbox.js";
import type { Carrier, Delivery, Parcel } from "../../src/notices/parcel.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import { venuesOf } from "../../src/wiring/surfaces.js";
import { Life, openOver } from "./mortal-desk.js";
import { EIGHT_PM, EVENING, twoClasses } from "./scene.js";

/** What really stands in the channels, whoever wrote it. */
class World {
  readonly posts: { readonly key: string; readonly notices: readonly Notice[] }[] = [];

  constructor(readonly looksBefore: boolean) {}

  post(parcel: Parcel): void {
    const there = parcel.maybeSent && this.posts.some(({ key }) => key === parcel.key);
    if (!(there && this.looksBefore)) this.posts.push(parcel);
  }
}

/** A surface of one process: it may die before the post, or between the post and its answer. */
class MortalCarrier implements Carrier {
  private calls = 0;

  constructor(
    readonly name: string,
    readonly merges: boolean,
    private readonly world: World,
    private readonly life: Life,
    private readonly troubled: boolean,
  ) {}

  async deliver(parcel: Parcel): Promise<Delivery> {
    const trouble = this.troubled ? ++this.calls % 4 : 0;
    await this.life.step();
    if (trouble === 1) return { result: "retry", afterMs: 700, reason: "busy" };
    if (trouble === 2) throw new Error("refused");
    this.world.post(parcel);
    await this.life.step();
    if (trouble === 3) throw new Error("the answer was lost");
    return { result: "delivered", messageId: "m" };
  }
}

const config = twoClasses();
const derive = deriveNotices(config, venuesOf(config));

function joined(name: string, surface: string): NightslateEvent {
  const home = { surface, channel: "evening" };
  return {
    type: "person.joined",
    person: { id: `hall:${name}`, name, classId: EVENING, role: "student", group: null, home },
  };
}

const announced = (text: string): NightslateEvent => ({
  type: "announcement.made",
  classId: EVENING,
  text,
  by: "hall:mira",
});

/** Seven decisions, the last ones quickly after one another. */
async function story(desk: Desk, clock: ManualClock): Promise<void> {
  const act = (...events: NightslateEvent[]) => desk.act(() => events, { by: "test" });
  await act(joined("mira", "hall"), joined("tomas", "yard"));
  await act(announced("one"));
  await clock.moveTo(clock.now() + HOUR);
  await act(announced("two"), announced("three"));
  await act(announced("four"));
  const hold = { reason: "cloud", by: "hall:mira", sinceUnixMs: clock.now(), untilUnixMs: null };
  await act({ type: "hold.placed", hold });
  await act(announced("five"), announced("six"));
  await clock.moveTo(clock.now() + HOUR);
}

interface Run {
  readonly world: World;
  readonly disk: MemoryStore;
  /** Steps that each life took. */
  readonly steps: readonly number[];
}

/** One life for each fatal step, then one that lasts; the story is told in the first. */
async function livesThat(end: readonly number[], looksBefore = true, troubled = false): Promise<Run> {
  const disk = new MemoryStore();
  const world = new World(looksBefore);
  const steps: number[] = [];
  for (const [index, fatalStep] of [...end, Infinity].entries()) {
    const life = new Life(fatalStep);
    const clock = new ManualClock(EIGHT_PM + index * 24 * HOUR);
    const desk = await openOver(disk, life, clock, derive);
    const surfaces = [
      new MortalCarrier("hall", true, world, life, troubled),
      new MortalCarrier("yard", false, world, life, troubled),
    ];
    startOutbox({ desk, surfaces, clock, log: silentLog });
    if (index === 0) void story(desk, clock);
    for (let hours = 0; hours < 12; hours++) await clock.moveTo(clock.now() + HOUR);
    steps.push(life.steps);
  }
  return { world, disk, steps };
}

async function storedNotices(disk: MemoryStore): Promise<{ notices: Notice[]; pending: number }> {
  const desk = await openOver(disk, new Life(Infinity), new ManualClock(EIGHT_PM), derive);
  const notices: Notice[] = [];
  for await (const entry of desk.entries()) notices.push(...entry.notices);
  return { notices, pending: desk.state.outbox.size };
}

/** Keys in the order in which they were posted, and in which they were stored, for one surface. */
async function postedAndStored({ world, disk }: Run, surface: string) {
  const { notices, pending } = await storedNotices(disk);
  const posted = world.posts.flatMap((post) => post.notices).filter(({ to }) => to.surface === surface);
  const stored = notices.filter(({ to }) => to.surface === surface);
  return { posted: posted.map(({ key }) => key), stored: stored.map(({ key }) => key), pending };
}

async function expectOnceEach(run: Run, what: string): Promise<void> {
  for (const surface of ["hall", "yard"]) {
    const { posted, stored, pending } = await postedAndStored(run, surface);
    expect(posted, `${what}, ${surface}`).toEqual(stored);
    expect(pending, what).toBe(0);
  }
}

describe("the outbox", () => {
  test("without a crash posts seven notices to each place, merged where the surface merges", async () => {
    const run = await livesThat([]);
    await expectOnceEach(run, "no crash");
    const at = (surface: string) =>
      run.world.posts.filter(({ notices }) => notices[0]?.to.surface === surface);
    expect(at("yard")).toHaveLength(7);
    expect(at("hall").length).toBeLessThan(7);
    expect(at("hall").flatMap(({ notices }) => notices)).toHaveLength(7);
  });

  test("loses and repeats nothing, whichever step of it the process dies at", async () => {
    const [steps] = (await livesThat([])).steps;
    expect(steps).toBeGreaterThan(30);
    for (let fatal = 1; fatal <= (steps as number); fatal++) {
      await expectOnceEach(await livesThat([fatal]), `died at step ${fatal}`);
    }
  });

  test("nor when the next process dies while it makes up for the first", async () => {
    const [steps] = (await livesThat([])).steps;
    for (let fatal = 5; fatal <= (steps as number); fatal += 3) {
      for (const second of [1, 2, 3, 4, 5, 7]) {
        await expectOnceEach(await livesThat([fatal, second]), `died at steps ${fatal} and ${second}`);
      }
    }
  });

  test("nor when surfaces are busy, refuse and lose answers as well", async () => {
    const [steps] = (await livesThat([], true, true)).steps;
    await expectOnceEach(await livesThat([], true, true), "trouble without a crash");
    for (let fatal = 1; fatal <= (steps as number); fatal += 2) {
      await expectOnceEach(await livesThat([fatal], true, true), `died at step ${fatal} in trouble`);
    }
  });

  test("needs the surface to look before it posts again: one that does not repeats itself", async () => {
    const [steps] = (await livesThat([])).steps;
    let repeated = 0;
    for (let fatal = 1; fatal <= (steps as number); fatal++) {
      const { posted } = await postedAndStored(await livesThat([fatal], false), "yard");
      if (new Set(posted).size < posted.length) repeated += 1;
    }
    expect(repeated).toBeGreaterThan(0);
  });
});
