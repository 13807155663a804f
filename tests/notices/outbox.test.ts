/** The outbox's manners: order, patience, and one place's trouble kept from the others. */
import { describe, expect, test } from "vitest";
import { type Log, silentLog } from "../../src/base/log.js";
import { DAY, HOUR, SECOND } from "../../src/base/units.js";
import type { NightslateEvent } from "../../src/journal/events.js";
import { startOutbox } from "../../src/notices/outbox.js";
import type { Carrier, Delivery, Parcel } from "../../src/notices/parcel.js";
import { EVENING, MORNING, Scene } from "./scene.js";

const delivered: Delivery = { result: "delivered", messageId: "m" };

/** A surface that notes when each trial came, and answers as told. */
class Hall implements Carrier {
  readonly trials: { atUnixMs: number; parcel: Parcel }[] = [];

  constructor(
    private readonly scene: Scene,
    private readonly answer: (parcel: Parcel, trial: number) => Delivery | Promise<Delivery> = () =>
      delivered,
    readonly name = "hall",
    readonly merges = false,
  ) {}

  async deliver(parcel: Parcel): Promise<Delivery> {
    this.trials.push({ atUnixMs: this.scene.clock.now(), parcel });
    return this.answer(parcel, this.trials.length);
  }

  texts(): string[] {
    return this.trials.map(({ parcel }) => parcel.notices.map(({ lines }) => lines[0]?.[0]).join("+"));
  }
}

const say = (text: string, classId = EVENING): NightslateEvent => ({
  type: "announcement.made",
  classId,
  text,
  by: "hall:quill",
});

function outbox(scene: Scene, ...surfaces: Carrier[]) {
  return logged(scene, silentLog, ...surfaces);
}

function logged(scene: Scene, log: Log, ...surfaces: Carrier[]) {
  return startOutbox({ desk: scene.desk, surfaces, clock: scene.clock, log });
}

async function seconds(scene: Scene, count: number): Promise<void> {
  await scene.clock.moveTo(scene.clock.now() + count * SECOND);
}

describe("the outbox", () => {
  test("keeps the order of a place while its head is tried again", async () => {
    const scene = new Scene();
    await scene.join("mira");
    const hall = new Hall(scene, (_, trial) =>
      trial < 3 ? { result: "retry", afterMs: 0, reason: "busy" } : delivered,
    );
    outbox(scene, hall);
    await scene.happen(say("one"));
    await scene.happen(say("two"));
    await seconds(scene, 60);
    expect(hall.texts()).toEqual(["one", "one", "one", "two"]);
    expect(hall.trials.map(({ parcel }) => parcel.maybeSent)).toEqual([false, true, true, false]);
    expect(scene.desk.state.outbox.size).toBe(0);
  });

  test("waits longer after each failure, and as long as the surface asks", async () => {
    const scene = new Scene();
    await scene.join("mira");
    const hall = new Hall(scene, (_, trial) => ({
      result: "retry",
      afterMs: trial === 2 ? 30_000 : 0,
      reason: "busy",
    }));
    outbox(scene, hall);
    const startUnixMs = scene.clock.now();
    await scene.happen(say("one"));
    await seconds(scene, 120);
    expect(hall.trials.map(({ atUnixMs }) => (atUnixMs - startUnixMs) / SECOND)).toEqual([
      0, 1, 31, 36, 51, 111,
    ]);
  });

  test("does not wait for a place that holds a message up when everything ends", async () => {
    const scene = new Scene();
    await scene.join("mira");
    const hall = new Hall(scene, () => new Promise<Delivery>(() => {}));
    const box = outbox(scene, hall);
    await scene.happen(say("one"));
    await seconds(scene, 1);
    let stopped = false;
    const stop = box.stop().then(() => {
      stopped = true;
    });
    await seconds(scene, 2);
    expect(stopped).toBe(false);
    await seconds(scene, 1);
    await stop;
    expect(scene.desk.state.outbox.size).toBe(1);
  });

  test("logs what could not be delivered without naming anyone", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    await scene.choose(mira, "direct");
    const lines: string[] = [];
    const keep = (details: object): void => void lines.push(JSON.stringify(details));
    const hall = new Hall(scene, () => ({ result: "drop", reason: "closed" }));
    logged(scene, { info: keep, warn: keep, error: keep }, hall);
    await scene.take(await scene.ask(mira));
    await seconds(scene, 1);
    expect(lines.join()).toMatch(/"entry":\d+,"kind":"taken"/);
    expect(lines.join()).not.toContain("mira");
  });

  test("records one of several as dropped when a place refuses only that", async () => {
    const scene = new Scene();
    await scene.join("mira");
    const hall = new Hall(
      scene,
      ({ notices }, trial) =>
        trial === 1
          ? { result: "retry", afterMs: 0, reason: "busy" }
          : { ...delivered, refused: { keys: notices.slice(1).map(({ key }) => key), reason: "bad" } },
      "hall",
      true,
    );
    outbox(scene, hall);
    await scene.happen(say("one"));
    await scene.happen(say("two"));
    await scene.happen(say("three"));
    await seconds(scene, 60);
    expect(scene.desk.state.outbox.size).toBe(0);
    expect(hall.texts()).toEqual(["one", "one", "two+three"]);
    const dropped: NightslateEvent[] = [];
    for await (const { events } of scene.desk.entries(1))
      dropped.push(...events.filter(({ type }) => type === "notices.dropped"));
    expect(dropped).toMatchObject([{ reason: "bad", keys: [expect.stringContaining("announcement")] }]);
  });

  test("does not let one place's trouble delay another, nor a direct message a channel", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    await scene.join("otis", MORNING);
    await scene.choose(mira, "direct");
    const hall = new Hall(scene, ({ notices }) => {
      const stuck = notices[0]?.audience === "person" || notices[0]?.classId === MORNING;
      return stuck ? new Promise<Delivery>(() => {}) : delivered;
    });
    outbox(scene, hall);
    await scene.happen(say("to the other class", MORNING));
    await scene.take(await scene.ask(mira));
    await scene.happen(say("to ours"));
    await seconds(scene, 1);
    expect(hall.trials.map(({ parcel }) => parcel.to.channel)).toEqual(["morning", "evening", "evening"]);
    expect([...scene.desk.state.outbox.values()].map(({ kind }) => kind)).toEqual(["announcement", "taken"]);
  });

  test("never merges what is for different classes, though a channel went from one to the other", async () => {
    const scene = new Scene();
    const home = { surface: "hall", channel: "shared" };
    await scene.join("mira", EVENING, "student", home);
    await scene.join("otis", MORNING, "student", home);
    let first: (delivery: Delivery) => void = () => {};
    const hall = new Hall(
      scene,
      (_, trial) =>
        trial > 1
          ? delivered
          : new Promise((done) => {
              first = done;
            }),
      "hall",
      true,
    );
    outbox(scene, hall);
    for (const each of [say("one"), say("two"), say("three"), say("four", MORNING)]) await scene.happen(each);
    first(delivered);
    await seconds(scene, 5);
    expect(hall.texts()).toEqual(["one", "two+three", "four"]);
  });

  test("merges what gathers while a message is on its way, but never loud with quiet", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    const tomas = await scene.join("tomas");
    await scene.choose(tomas, "silent");
    const gate: { open: () => void } = { open: () => {} };
    const first = new Promise<void>((done) => {
      gate.open = done;
    });
    const hall = new Hall(
      scene,
      async (_, trial) => (trial === 1 ? first.then(() => delivered) : delivered),
      "hall",
      true,
    );
    outbox(scene, hall);
    await scene.happen(say("one"));
    await scene.happen(say("two"));
    await scene.take(await scene.ask(mira));
    await scene.happen({ type: "request.failed", number: 1, reason: "x" });
    await scene.take(await scene.ask(tomas));
    await scene.happen(say("three"));
    gate.open();
    await seconds(scene, 1);
    const kinds = hall.trials.map(({ parcel }) => parcel.notices.map(({ kind }) => kind));
    expect(kinds).toEqual([
      ["announcement"],
      ["announcement", "taken", "failed"],
      ["taken"],
      ["announcement"],
    ]);
    const keys = hall.trials.map(({ parcel }) => parcel.key);
    expect(new Set(keys).size).toBe(4);
  });

  test("drops with the surface's reason, and goes on with the next", async () => {
    const scene = new Scene();
    await scene.join("mira");
    const hall = new Hall(scene, (_, trial) =>
      trial === 1 ? { result: "drop", reason: "channel gone" } : delivered,
    );
    outbox(scene, hall);
    await scene.happen(say("one"));
    await scene.happen(say("two"));
    await seconds(scene, 1);
    expect(hall.texts()).toEqual(["one", "two"]);
    const reasons: string[] = [];
    for await (const { events } of scene.desk.entries()) {
      for (const event of events) if (event.type === "notices.dropped") reasons.push(event.reason);
    }
    expect(reasons).toEqual(["channel gone"]);
  });

  test("keeps notices for a surface that is off, until seven days have passed", async () => {
    const scene = new Scene();
    await scene.join("mira");
    await scene.happen(say("before the start"));
    const other = new Hall(scene, undefined, "yard");
    outbox(scene, other);
    await scene.happen(say("after"));
    await scene.clock.moveTo(scene.clock.now() + 7 * DAY - HOUR);
    expect(scene.desk.state.outbox.size).toBe(2);
    await scene.clock.moveTo(scene.clock.now() + 2 * HOUR);
    expect(scene.desk.state.outbox.size).toBe(0);
    expect(other.trials).toEqual([]);
  });

  test("gives up on a surface that fails for seven days, not sooner, and never tries in a hot loop", async () => {
    const scene = new Scene();
    await scene.join("mira");
    const hall = new Hall(scene, () => Promise.reject(new Error("no network")));
    outbox(scene, hall);
    await scene.happen(say("one"));
    await scene.clock.moveTo(scene.clock.now() + 7 * DAY - HOUR);
    expect(scene.desk.state.outbox.size).toBe(1);
    await scene.clock.moveTo(scene.clock.now() + 2 * HOUR);
    expect(scene.desk.state.outbox.size).toBe(0);
    expect(hall.trials.length).toBeLessThan((7 * DAY) / (300 * SECOND) + 10);
  });

  test("sends nothing after it has been stopped, and leaves the rest pending", async () => {
    const scene = new Scene();
    await scene.join("mira");
    const hall = new Hall(scene, () => ({ result: "retry", afterMs: 0, reason: "busy" }));
    const running = outbox(scene, hall);
    await scene.happen(say("one"));
    await seconds(scene, 1);
    await running.stop();
    const trials = hall.trials.length;
    await scene.happen(say("two"));
    await seconds(scene, 600);
    expect(hall.trials).toHaveLength(trials);
    expect(scene.desk.state.outbox.size).toBe(2);
  });

  test("forgets a notice that somebody else dropped meanwhile", async () => {
    const scene = new Scene();
    await scene.join("mira");
    const hall = new Hall(scene, () => ({ result: "retry", afterMs: 0, reason: "busy" }));
    outbox(scene, hall);
    const [notice] = await scene.happen(say("one"));
    await seconds(scene, 1);
    await scene.happen({ type: "notices.dropped", keys: [notice!.key], reason: "forgotten" });
    const trials = hall.trials.length;
    await seconds(scene, 600);
    expect(hall.trials.length).toBe(trials);
  });
});
