/** Whatever a control program says, in whatever order and however often: answered with how things stand, and nothing is broken. */
import { mkdirSync, mkdtempSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { MINUTE, SECOND } from "../../../src/base/units.js";
import type { NightslateEvent } from "../../../src/journal/events.js";
import { HookLink } from "../../../src/telescope/hook/link.js";
import type { Conversation } from "../../../src/telescope/hook/listener.js";
import type { HookEvent } from "../../../src/telescope/hook/messages.js";
import { asked, Evening, type MakeFrame, plainFrame } from "../evening.js";

const by = "terminal:quill";
type Saying = { type: HookEvent["type"]; id?: string; at?: string; [key: string]: unknown };

/** An evening whose control program is the test itself. */
class Observatory {
  conversation!: Conversation;
  evening!: Evening;
  private count = 0;

  static async begin(makeFrame: MakeFrame = plainFrame, folder: string | null = null): Promise<Observatory> {
    const observatory = new Observatory();
    const opens = (make: MakeFrame) =>
      new HookLink({
        pictures: { store: { keep: (order) => make(order) }, folder },
        listen: async (conversation) => {
          observatory.conversation = conversation;
          return async () => {};
        },
      });
    observatory.evening = await Evening.begin(opens, makeFrame);
    return observatory;
  }

  get next() {
    return this.conversation.next();
  }

  async tell(what: Saying, sent: Uint8Array | null = null) {
    const at = new Date(this.evening.clock.now()).toISOString();
    const event = { id: `e${++this.count}`, at, ...what } as HookEvent;
    const heard = this.conversation.hear(event, sent);
    heard.catch(() => {});
    await this.evening.settle();
    return heard;
  }

  /** "200 accepted", "409 refused" … */
  async told(what: Saying, sent: Uint8Array | null = null): Promise<string> {
    const { status, answer } = await this.tell(what, sent);
    return `${status} ${answer.outcome}`;
  }

  async take(number = 1): Promise<void> {
    expect(await this.told({ type: "taken", number })).toBe("200 accepted");
  }

  state(number: number) {
    return this.evening.desk.state.requests.get(number);
  }
}

const hold = (reason: string, sinceUnixMs: number, people?: true): NightslateEvent => ({
  type: "hold.placed",
  hold: { reason, by, sinceUnixMs, untilUnixMs: null, ...(people ? { people } : {}) },
});
const cancelled = (number: number): NightslateEvent => ({
  ...{ type: "requests.cancelled", cancelId: `c${number}`, numbers: [number], reason: "cloud", by },
});

describe("what is next", () => {
  test("is said without taking it, with where it stands when exposures begin", async () => {
    const observatory = await Observatory.begin();
    for (let asked = 0; asked < 3; asked++) {
      const { next } = observatory;
      if (next.do !== "observe") throw new Error(next.do);
      expect(next).toMatchObject({ underWay: false, framesDone: [] });
      expect(next.request).toMatchObject({ number: 1, filter: "V", exposureSeconds: 30, frames: 2 });
      const { place } = next.request;
      expect([place.raJ2000Degrees, place.decJ2000Degrees]).toEqual([250, 38]);
      // Meeus, Astronomical Algorithms, eq. 13.6: sin h = sin φ sin δ + cos φ cos δ cos H.
      const radians = (degrees: number): number => (degrees * Math.PI) / 180;
      const [latitude, declination, hourAngle] = [42.5, place.decOfDateDegrees, place.hourAngleDegrees].map(
        radians,
      ) as [number, number, number];
      const sine =
        Math.sin(latitude) * Math.sin(declination) +
        Math.cos(latitude) * Math.cos(declination) * Math.cos(hourAngle);
      expect(Math.asin(sine)).toBeCloseTo(radians(place.altitudeDegrees), 6);
    }
    expect(observatory.evening.desk.state.taken).toBeNull();
  });

  test("stands for its time even when something more urgent comes in, and no longer", async () => {
    const observatory = await Observatory.begin();
    expect(observatory.next).toMatchObject({ do: "observe", request: { number: 1 } });
    await observatory.evening.go(20 * SECOND);
    await observatory.evening.happen(asked(3, { frames: 1, owner: by, tier: 0 }));
    expect(observatory.next).toMatchObject({ do: "observe", request: { number: 1 } });
    await observatory.evening.go(11 * SECOND);
    expect(await observatory.tell({ type: "taken", number: 1 })).toMatchObject({
      status: 409,
      answer: {
        said: expect.stringMatching(/not what is to be observed now/),
        next: { request: { number: 3 } },
      },
    });
    await observatory.take(3);
  });

  test("is a hold while staff hold the queue, and nothing may be taken until they lift it", async () => {
    const observatory = await Observatory.begin();
    const { evening } = observatory;
    await evening.happen(hold("people in the dome", evening.clock.now(), true));
    expect(observatory.next).toMatchObject({ do: "hold", because: "people in the dome", people: true });
    expect(await observatory.tell({ type: "taken", number: 1 })).toMatchObject({
      status: 409,
      answer: { said: "Nothing may be taken now: people in the dome.", request: { state: "waiting" } },
    });
    await evening.happen({ type: "hold.lifted", by });
    await observatory.take();
  });

  test("is a hold while the dome is kept shut, until the program says that it is open", async () => {
    const observatory = await Observatory.begin();
    expect(await observatory.told({ type: "equipment", dome: "kept-shut" })).toBe("200 accepted");
    expect(observatory.next).toMatchObject({ do: "hold", because: "dome kept shut", people: false });
    expect(await observatory.told({ type: "taken", number: 1 })).toBe("409 refused");
    expect(await observatory.told({ type: "equipment", dome: "open", sky: "clear" })).toBe("200 accepted");
    await observatory.take();
  });

  test("is a hold while staff keep the dome shut, whatever the program says of it", async () => {
    const observatory = await Observatory.begin();
    const { evening } = observatory;
    const staffSay = (dome: "kept-shut" | "open") =>
      evening.happen({
        ...{ type: "equipment.changed", by, part: "dome" },
        equipment: { ...evening.desk.state.equipment, dome },
      });
    await staffSay("kept-shut");
    await observatory.told({ type: "equipment", dome: "shut", sky: "clear" });
    await evening.restart();
    await observatory.told({ type: "equipment", dome: "open" });
    expect(observatory.next).toMatchObject({ do: "hold", because: "dome kept shut" });
    expect(evening.desk.state.equipment).toMatchObject({ dome: "kept-shut", sky: "clear" });
    await staffSay("open");
    await observatory.take();
  });

  test("is what is under way, for a program that has lost its thread, and nothing when nobody waits", async () => {
    const observatory = await Observatory.begin();
    await observatory.take();
    await observatory.told({ type: "frame", number: 1, frame: 2 });
    await observatory.evening.restart();
    expect(observatory.next).toMatchObject({ do: "observe", underWay: true, framesDone: [2] });
    await observatory.told({ type: "done", number: 1 });
    await observatory.evening.happen({ type: "request.withdrawn", number: 2 });
    expect(observatory.next).toMatchObject({ do: "nothing", because: "nothing waits" });
  });
});

describe("told twice or out of order", () => {
  test("an event counts once, also after a restart", async () => {
    const observatory = await Observatory.begin();
    const taken = { type: "taken", number: 1, id: "once" } as const;
    expect(await observatory.told(taken)).toBe("200 accepted");
    expect(await observatory.told(taken)).toBe("200 already");
    await observatory.evening.restart();
    expect(await observatory.told(taken)).toBe("200 already");
    expect(await observatory.told({ type: "taken", number: 1 })).toBe("200 already");
    expect(await observatory.evening.said()).toEqual(["request.taken 1"]);
  });

  test("an old failure told again does not end the request's next attempt", async () => {
    const observatory = await Observatory.begin();
    const failed = { type: "failed", number: 1, reason: "the mount does not answer", id: "old" } as const;
    await observatory.take();
    expect(await observatory.told(failed)).toBe("200 accepted");
    expect(observatory.state(1)).toMatchObject({ state: "failed", reason: "the mount does not answer" });
    await observatory.evening.happen({ type: "request.returned", number: 1, reason: "again", by });
    await observatory.take();
    await observatory.evening.restart();
    expect(await observatory.told(failed)).toBe("200 already");
    expect(observatory.state(1)?.state).toBe("taken");
  });

  test("what was told before a restart is not acted on anew after it", async () => {
    const observatory = await Observatory.begin();
    const taken = { type: "taken", number: 1, id: "t" } as const;
    const shut = { type: "equipment", dome: "kept-shut", id: "s" } as const;
    expect(await observatory.told(taken)).toBe("200 accepted");
    expect(await observatory.told({ type: "failed", number: 1, reason: "wind" })).toBe("200 accepted");
    expect(await observatory.told(shut)).toBe("200 accepted");
    expect(await observatory.told({ type: "equipment", dome: "open" })).toBe("200 accepted");
    await observatory.evening.happen({ type: "request.returned", number: 1, reason: "again", by });
    await observatory.evening.restart();
    expect([await observatory.told(shut), await observatory.told(taken)]).toEqual([
      "200 already",
      "200 already",
    ]);
    expect(observatory.evening.desk.state.equipment.dome).toBe("open");
    expect(observatory.state(1)?.state).toBe("waiting");
  });

  test("frames in any order, each once; an earlier exposure told late changes nothing", async () => {
    const observatory = await Observatory.begin();
    const frame = (index: number) => observatory.told({ type: "frame", number: 1, frame: index });
    await observatory.take();
    expect(await observatory.told({ type: "exposing", number: 1, frame: 2 })).toBe("200 accepted");
    expect(await observatory.told({ type: "exposing", number: 1, frame: 1 })).toBe("200 already");
    expect(await observatory.told({ type: "exposing", number: 1, frame: 3 })).toBe("409 refused");
    expect([await frame(2), await frame(2), await frame(3)]).toEqual([
      "200 accepted",
      "200 already",
      "409 refused",
    ]);
    expect(await observatory.tell({ type: "done", number: 1, frames: 2 })).toMatchObject({
      status: 409,
      answer: { said: "1 of 2 frames have come: send the rest, then this again." },
    });
    expect(await frame(1)).toBe("200 accepted");
    expect(await observatory.told({ type: "done", number: 1, frames: 2 })).toBe("200 accepted");
    expect(await observatory.told({ type: "done", number: 1, frames: 2 })).toBe("200 already");
    expect(await frame(1)).toBe("409 refused");
    expect(await observatory.told({ type: "failed", number: 1, reason: "late" })).toBe("409 refused");
    expect(await observatory.evening.said()).toEqual([
      ...["request.taken 1", "frame.done 1", "frame.done 1", "request.completed 1"],
    ]);
  });

  test("things of requests that are not under way are answered with how they stand", async () => {
    const observatory = await Observatory.begin();
    expect(await observatory.tell({ type: "done", number: 2 })).toMatchObject({
      ...{
        status: 409,
        answer: {
          said: "#2 is waiting. Before anything else, tell that it is taken.",
          request: { number: 2, state: "waiting" },
        },
      },
    });
    expect(await observatory.tell({ type: "exposing", number: 77, frame: 1 })).toMatchObject({
      ...{ status: 404, answer: { said: "There is no request #77.", request: null } },
    });
    await observatory.take();
    expect(await observatory.tell({ type: "taken", number: 2 })).toMatchObject({
      ...{ status: 409, answer: { said: "#1 is under way: say first what became of it." } },
    });
  });

  test("of the equipment the newest holds, whenever it is told", async () => {
    const observatory = await Observatory.begin();
    const { clock } = observatory.evening;
    const at = (minutes: number) => new Date(clock.now() + minutes * MINUTE).toISOString();
    const [early, late] = [at(1), at(2)];
    await observatory.evening.go(3 * MINUTE);
    expect(await observatory.told({ type: "equipment", sky: "cloud", at: late })).toBe("200 accepted");
    expect(await observatory.told({ type: "equipment", sky: "clear", at: early })).toBe("200 already");
    expect(await observatory.told({ type: "equipment", sky: "clear", dome: "open", at: early })).toBe(
      "200 accepted",
    );
    expect(observatory.evening.desk.state.equipment).toMatchObject({ sky: "cloud", dome: "open" });
  });
});

describe("ended while it is under way", () => {
  test("the program is told to stop, whatever else it says, and the next may begin once it has", async () => {
    const observatory = await Observatory.begin();
    await observatory.take();
    await observatory.evening.happen(cancelled(1));
    expect(observatory.next).toMatchObject({ do: "stop", number: 1, because: "cloud" });
    for (const what of [
      { type: "exposing", number: 1, frame: 1 },
      { type: "frame", number: 1, frame: 1 },
      { type: "taken", number: 2 },
    ] as const) {
      expect(await observatory.tell(what)).toMatchObject({
        status: 409,
        answer: { next: { do: "stop", number: 1 } },
      });
    }
    expect(await observatory.told({ type: "stopped", number: 1 })).toBe("200 accepted");
    expect(await observatory.told({ type: "stopped", number: 1 })).toBe("200 already");
    await observatory.take(2);
    expect(observatory.state(1)).toMatchObject({ state: "cancelled", reason: "cloud" });
  });

  test("one that was done before it heard of the stop is free as well", async () => {
    const observatory = await Observatory.begin();
    await observatory.take();
    await observatory.evening.happen(cancelled(1));
    expect(await observatory.tell({ type: "done", number: 1 })).toMatchObject({
      ...{ status: 409, answer: { said: "#1 is cancelled (cloud). That it has ended is noted." } },
    });
    await observatory.take(2);
  });

  test("a stop that is not confirmed in time is a fault; the stop is asked for again after a restart", async () => {
    const observatory = await Observatory.begin();
    const { evening } = observatory;
    await observatory.take();
    await evening.happen(cancelled(1));
    await evening.driver.stop();
    const begun = evening.restart();
    await evening.settle();
    expect(observatory.next).toMatchObject({ do: "stop", number: 1 });
    await evening.go(61 * SECOND);
    await begun;
    expect(evening.desk.state.equipment.telescope).toBe("fault");
    expect(observatory.next).toMatchObject({ do: "hold", because: "telescope fault" });
    expect(await observatory.told({ type: "equipment", telescope: "ready" })).toBe("200 accepted");
    await observatory.take(2);
  });

  test("stopped by someone at the telescope, its owner hears why", async () => {
    const observatory = await Observatory.begin();
    await observatory.take();
    expect(await observatory.told({ type: "stopped", number: 1, reason: "wind" })).toBe("200 accepted");
    expect(observatory.state(1)).toMatchObject({ state: "failed", reason: "stopped at the telescope: wind" });
    await observatory.take(2);
  });
});

describe("frames", () => {
  test("one that cannot be read is refused and may be sent again", async () => {
    let damaged = true;
    const observatory = await Observatory.begin(async (order) => {
      if (damaged) throw new Error("This FITS file has been cut short: pixels are missing at its end.");
      return plainFrame(order);
    });
    await observatory.take();
    const frame = { type: "frame", number: 1, frame: 1, id: "same" } as const;
    expect(await observatory.tell(frame, new Uint8Array(4))).toMatchObject({
      ...{
        status: 422,
        answer: { said: expect.stringMatching(/cut short.*Send it again/), request: { framesDone: [] } },
      },
    });
    damaged = false;
    expect(await observatory.told(frame, new Uint8Array(4))).toBe("200 accepted");
    expect(observatory.state(1)?.framesDone).toBe(1);
  });

  test("named by its file, it has to lie in the folder for frames", async () => {
    const folder = mkdtempSync(join(tmpdir(), "frames-"));
    const inside = join(folder, "inside");
    mkdirSync(inside);
    writeFileSync(join(inside, "a.fits"), "SIMPLE");
    writeFileSync(join(folder, "secret.fits"), "SIMPLE");
    symlinkSync(join(folder, "secret.fits"), join(inside, "link.fits"));
    const observatory = await Observatory.begin(plainFrame, inside);
    await observatory.take();
    for (const file of [
      "../secret.fits",
      "link.fits",
      "b.fits",
      ".",
      join(folder, "secret.fits"),
      "a\u0000b",
    ])
      expect(await slow(observatory, { type: "frame", number: 1, frame: 1, file }), file).toBe("422 refused");
    expect(await slow(observatory, { type: "frame", number: 1, frame: 1, file: "a.fits" })).toBe(
      "200 accepted",
    );
  });

  test("a disk that is full asks for the event again, and it counts once", async () => {
    const observatory = await Observatory.begin();
    const { evening } = observatory;
    await observatory.take();
    evening.disk.full = true;
    const done = { type: "done", number: 1, id: "d" } as const;
    const first = observatory.conversation.hear(
      { ...done, at: new Date(evening.clock.now()).toISOString() },
      null,
    );
    const refusal = expect(first).rejects.toMatchObject({ code: "not-stored" });
    await evening.go(6 * SECOND);
    await refusal;
    evening.disk.full = false;
    await evening.go(MINUTE);
    expect(await observatory.told(done)).toBe("200 already");
    expect(await evening.said()).toEqual(["request.taken 1", "request.completed 1"]);
  });
});

/** Where the real file system is asked, which takes its time. */
async function slow(observatory: Observatory, what: Saying): Promise<string> {
  const at = new Date(observatory.evening.clock.now()).toISOString();
  const event = { id: `s${JSON.stringify(what).length}-${Math.abs(hash(what))}`, at, ...what } as HookEvent;
  const { status, answer } = await observatory.conversation.hear(event, null);
  return `${status} ${answer.outcome}`;
}

function hash(what: object): number {
  return [...JSON.stringify(what)].reduce((sum, letter) => (sum * 31 + letter.charCodeAt(0)) | 0, 7);
}

test("any run of events leaves one turn at a time, each frame once and each end once", async () => {
  const number = fc.constantFrom(1, 2, 9);
  const frame = fc.integer({ min: 1, max: 3 });
  const id = fc.integer({ min: 1, max: 12 }).map(String);
  const event = fc.oneof(
    fc.record({ type: fc.constantFrom("taken", "done", "stopped"), number, id }),
    fc.record({ type: fc.constant("failed"), number, id, reason: fc.constant("wind") }),
    fc.record({ type: fc.constantFrom("exposing", "frame"), number, id, frame }),
    fc.record({ type: fc.constant("equipment"), id, dome: fc.constantFrom("open", "kept-shut") }),
    fc.record({ type: fc.constantFrom("cancel", "return", "restart", "wait"), number }),
  );
  await fc.assert(
    fc.asyncProperty(fc.array(event, { minLength: 5, maxLength: 25 }), async (events) => {
      const observatory = await Observatory.begin();
      const { evening } = observatory;
      for (const each of events) await happen(observatory, each as Saying);
      const said = await evening.said();
      for (const request of [1, 2]) {
        const own = said.filter((line) => line.endsWith(` ${request}`));
        // Nothing but of a request that was taken, and no end without a beginning.
        expect(own.join(" > ")).toMatch(
          /^(request\.taken \d( > frame\.done \d){0,2}( > request\.(completed|failed) \d)?( > |$))*$/,
        );
      }
      await evening.driver.stop();
    }),
    { numRuns: 60 },
  );
});

async function happen(observatory: Observatory, each: Saying): Promise<void> {
  const { evening } = observatory;
  const number = each.number as number;
  const { state } = evening.desk.state.requests.get(number) ?? {};
  switch (each.type as string) {
    case "cancel":
      if (state === "waiting" || state === "taken")
        await evening.happen({
          ...cancelled(number),
          cancelId: `c${evening.desk.state.lastEntryId}`,
        } as NightslateEvent);
      return;
    case "return":
      if (state === "failed") await evening.happen({ type: "request.returned", number, reason: "again", by });
      return;
    case "restart":
      return evening.desk.state.stopping ? undefined : evening.restart();
    case "wait":
      return evening.go(20 * SECOND);
    default: {
      const { status, answer } = await observatory.tell(each);
      expect([200, 404, 409]).toContain(status);
      expect(answer.next).not.toBeNull();
    }
  }
}
