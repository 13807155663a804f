/** What is under way, ended by people: stopped now or left to its end; a telescope that is worked by hand. */
import { describe, expect, it } from "vitest";
import { dispatch } from "../../src/commands/dispatch.js";
import type { KeepFrame } from "../../src/commands/services.js";
import { deviceTraits } from "../../src/telescope/device/link.js";
import { hookTraits } from "../../src/telescope/hook/link.js";
import { operatedTraits } from "../../src/telescope/operated.js";
import { mira, okoro, openWorld, quill, read, tomas, vance, type World } from "./world.js";

const stateOf = (world: World, number: number) => world.services.desk.state.requests.get(number)?.state;
const desk = (world: World) => world.services.desk.state;

async function underWay(): Promise<World> {
  const world = openWorld();
  world.status = { ...world.status, traits: operatedTraits };
  await world.type("/request M31 clear 20", mira);
  await world.type("/request M33 clear 20", tomas);
  await world.type("/mark 1 taken", okoro);
  return world;
}

it.each([hookTraits, deviceTraits])(
  "/equipment dome shut anyway is refused, with the reason, where a $takenBy takes requests and machines move by themselves",
  async (traits) => {
    const world = await underWay();
    world.status = { ...world.status, traits };
    const before = desk(world).equipment;
    expect(read(await world.type("/equipment dome shut anyway", okoro))).toContain(
      "This telescope opens its dome for every request, so there is no frame of a shut one: type /equipment dome shut",
    );
    expect(desk(world).equipment).toEqual(before);
    await world.type("/equipment dome shut", okoro);
    expect(desk(world).equipment.dome).toBe("kept-shut");
  },
);

it("/resume says first what is at the telescope and goes on", async () => {
  const world = await underWay();
  await world.type("/hold wind", okoro);
  expect(read(await world.type("/resume", okoro))).toContain("#1 M31 is at the telescope and goes on.");
});

describe("/cancel of what is being observed", () => {
  it("by number asks whether to stop it now or let it run, with the reason kept on both buttons", async () => {
    const world = await underWay();
    const asked = await world.type("/cancel 1 wind is rising", quill);
    expect(read(asked)).toContain("stop it now, or let it run to its end?");
    expect(asked.actions?.map(({ label }) => label)).toEqual(["Stop it now", "Let it run"]);
    expect(stateOf(world, 1)).toBe("taken");
    expect(read(await world.press(asked.actions![1]!, quill))).toMatch(
      /#1 M31 runs to its end.*nothing was cancelled/s,
    );
    expect(stateOf(world, 1)).toBe("taken");
    expect(read(await world.press(asked.actions![0]!, quill))).toContain("#1 M31: stopped");
    expect(desk(world)).toMatchObject({ taken: null, stopping: { number: 1, reason: "wind is rising" } });
    await world.type("/undo", quill);
    expect(stateOf(world, 1)).toBe("waiting");
  });

  it.each([
    ["an operator", okoro, "#1 M31: stopped"],
    [
      "an instructor of another class, who learns nothing of it",
      vance,
      "A request from another class: stopped",
    ],
  ])("now is for %s too", async (_, asker, title) => {
    const world = await underWay();
    const reply = read(await world.type("/cancel now wind", asker));
    expect(reply.toLowerCase()).toContain(title.toLowerCase());
    expect(stateOf(world, 1)).toBe("cancelled");
  });

  it("leaves what waits to the instructors, and says so when nothing is under way", async () => {
    const world = await underWay();
    expect(read(await world.type("/cancel 2 wind", okoro))).toContain(
      "Only an instructor can cancel what waits",
    );
    await world.type("/mark done", okoro);
    expect(read(await world.type("/cancel now wind", okoro))).toContain("Nothing is being observed");
    expect(stateOf(world, 2)).toBe("waiting");
  });

  it("arriving twice stops it once, and not the one after it", async () => {
    const world = await underWay();
    const press = () => world.use("cancel", { when: "now", reason: "wind" }, okoro, "one press");
    await press();
    await world.type("/mark 2 taken", okoro);
    await press();
    expect([stateOf(world, 1), stateOf(world, 2)]).toEqual(["cancelled", "taken"]);
  });
});

describe("/hold with something under way", () => {
  it.each([
    "people in the dome",
    "someone is going into the dome",
    "we're in the dome",
    "visitors on the ladder",
  ])("for people stops it at once and keeps its place: %s", async (reason) => {
    const world = await underWay();
    expect(read(await world.type(`/hold ${reason}`, okoro))).toContain(
      "#1 M31 is stopped at once and keeps its place",
    );
    expect(desk(world)).toMatchObject({
      taken: null,
      stopping: { number: 1, reason },
      hold: { reason, people: true },
    });
    expect(stateOf(world, 1)).toBe("waiting");
  });

  it.each(["cloud", "class break", "the students asked for a pause", "dome motor sounds odd"])(
    "for anything else lets it run: %s",
    async (reason) => {
      const world = await underWay();
      await world.type(`/hold ${reason}`, okoro);
      expect(stateOf(world, 1)).toBe("taken");
      expect(desk(world).hold?.people).toBeUndefined();
    },
  );

  it("stops it for any reason when that is asked for", async () => {
    const world = await underWay();
    await world.type("/hold now strange noise", okoro);
    expect(stateOf(world, 1)).toBe("waiting");
    expect(desk(world).hold).toMatchObject({ reason: "strange noise" });
  });

  it("for people has no end by the clock, and no other hold takes its place", async () => {
    const world = await underWay();
    expect(read(await world.type("/hold people in the dome until 22:30", okoro))).toContain(
      "has no end by the clock",
    );
    await world.type("/hold people in the dome", okoro);
    expect(read(await world.type("/hold cloud", okoro))).toContain("A hold for people stands");
    expect(desk(world).hold?.reason).toBe("people in the dome");
  });
});

describe("/mark", () => {
  it("shows what to observe: coordinates of date and J2000, height, hour angle, filter, exposure, frames", async () => {
    const world = await underWay();
    await world.type("/mark 1 done", okoro);
    const card = read(await world.type("/mark", okoro));
    expect(card).toContain("[answer] Next: #2 Triangulum Galaxy (M33)");
    expect(card).toContain("1 frame of 20 s, filter clear.");
    expect(card).toMatch(/J2000: 01h 33m 5\d\.\ds, \+30° 39′ \d\d″\./);
    expect(card).toMatch(/Of date: 01h 35m \d\d\.\ds, \+30° 4\d′ \d\d″\./);
    expect(card).toMatch(/hour angle \d h \d\d min east of the meridian/);
    expect(card).toContain("<Taken> /mark 2 taken");
  });

  it("follows one request from press to press, the next one beside each answer", async () => {
    const world = await underWay();
    expect(read(await world.type("/mark", okoro))).toContain("Under way: #1");
    const done = await world.type("/mark done", okoro);
    expect(read(done)).toContain("#1 Andromeda Galaxy");
    expect(read(done)).toContain("Next: #2");
    expect(stateOf(world, 1)).toBe("completed");
    await world.press(done.actions![0]!, okoro);
    expect(read(await world.type("/mark failed clouds came in", okoro))).toContain(": failed");
    expect(desk(world).requests.get(2)).toMatchObject({ state: "failed", reason: "clouds came in" });
    expect(read(await world.type("/mark", okoro))).toContain("Nothing is waiting");
  });

  describe("done with frames", () => {
    const handed: unknown[] = [];
    const gone = Object.assign(new Error("x"), { code: "ENOENT" });
    const keep: KeepFrame = async ({ number }, index, { path }) => {
      if (path === "no.fits") throw gone;
      handed.push([number, index, path]);
      const rest = { imageFile: null, previewFile: null, verdict: null, simulated: false };
      return { index, startUnixMs: path.charCodeAt(0), exposureSeconds: 20, filter: "clear", ...rest };
    };
    const takesFrames = async (): Promise<World> => {
      handed.length = 0;
      const world = await underWay();
      Object.assign(world.services, { handOver: (work: (by: KeepFrame) => unknown) => work(keep) });
      return world;
    };

    it.each([
      'frames="a.fits, b.fits"',
      "frames=a.fits,b.fits",
      "frames=a.fits b.fits",
      'frames="a.fits  b.fits"',
      "a.fits b.fits",
      "a.fits, b.fits",
    ])("takes them in order: %s", async (typed) => {
      const world = await takesFrames();
      await world.type(`/mark 1 done ${typed}`, okoro);
      expect(handed).toEqual([
        [1, 1, "a.fits"],
        [1, 2, "b.fits"],
      ]);
      expect(desk(world).frames.get(1)).toHaveLength(2);
      expect(stateOf(world, 1)).toBe("completed");
    });

    it.each([
      [
        "/mark 1 done frames=a.fits,no.fits",
        "no.fits cannot be kept, so #1 is still under way: There is no such file.",
      ],
      [
        "/mark 1 taken frames=a.fits",
        '"a.fits", read as frames, goes only with done: say that, or leave it out.',
      ],
      ["/mark 1 done very nice", '"very nice", read as reason, goes only with failed or stopped'],
      [
        `/mark 1 done frames=${Array(21).fill("a.fits").join()}`,
        "21 files are too many at a time: give at most 20.",
      ],
      [
        "/mark 1 done a.fits, a.fits",
        "a.fits began at the same instant as frame 1, so it is the same: leave it out.",
      ],
      ["/mark 2 done frames=a.fits", "#2 is waiting, so it cannot be marked done"],
    ])("leaves it under way: %s", async (line, sentence) => {
      const world = await takesFrames();
      expect(read(await world.type(line, okoro))).toContain(sentence);
      expect(stateOf(world, 1)).toBe("taken");
      expect(desk(world).frames.get(1)).toBeUndefined();
    });

    it("takes none where nothing can be handed over", async () => {
      const world = await takesFrames();
      const from = { surface: "room", channel: "main" };
      const options = { what: "done", frames: "/etc/hosts" };
      const call = { command: "mark", options, asker: okoro, from, onceKey: null };
      expect(read(await dispatch(call, world.services))).toContain("cannot be handed over here");
      expect(handed).toEqual([]);
      expect(stateOf(world, 1)).toBe("taken");
    });
  });

  it("stopped is one press, and gives a reason of its own", async () => {
    const world = await underWay();
    await world.type("/mark stopped", okoro);
    expect(desk(world).requests.get(1)).toMatchObject({
      state: "cancelled",
      reason: "stopped by the operator",
    });
  });

  it.each([
    ["/mark 2 done", "#2 is waiting, so it cannot be marked done: type /mark 2 taken when it begins."],
    ["/mark 2 taken", "#1 is under way: say first what became of it"],
    ["/mark 1 taken", "#1 is taken already"],
  ])("%s is refused with what to do instead", async (line, sentence) => {
    const world = await underWay();
    expect(read(await world.type(line, okoro))).toContain(sentence);
  });

  it("takes nothing during a hold", async () => {
    const world = await underWay();
    await world.type("/hold people in the dome", okoro);
    expect(read(await world.type("/mark 1 taken", okoro))).toContain(
      "cannot be taken while the queue is on hold",
    );
    expect(read(await world.type("/mark", okoro))).toContain("Nothing is taken now");
  });

  it("is refused where the telescope says by itself what becomes of a request", async () => {
    const world = openWorld();
    await world.type("/request M31 clear 20", mira);
    expect(read(await world.type("/mark 1 taken", okoro))).toContain("/cancel now stops what is under way");
  });
});

describe("machines that cannot observe", () => {
  it.each([
    ["dome shut", "The dome is kept shut: 1 waits", "It waits for the dome to be released"],
    ["dome fault", "The dome is at fault: 1 waits", "It waits for the dome's fault to be mended"],
    ["camera fault", "The camera is at fault: 1 waits", "It waits for the camera's fault to be mended"],
    [
      "telescope fault",
      "The telescope is at fault: 1 waits",
      "It waits for the telescope's fault to be mended",
    ],
  ])("hold the queue in words of their own: %s", async (what, said, waits) => {
    const world = openWorld();
    await world.type("/request M31 clear 20", mira);
    expect(world.services.forecast.nextStep().do).toBe("take");
    expect(read(await world.type(`/equipment ${what}`, okoro))).toContain(said);
    expect(world.services.forecast.nextStep()).toMatchObject({ do: "wait", because: "hold" });
    expect(read(await world.type("/queue", mira))).toContain(said);
    expect(read(await world.type("/when", mira))).toContain(waits);
    const part = what.split(" ")[0] as string;
    const well = { dome: "open", camera: "fitted", telescope: "ready" }[part];
    await world.type(`/equipment ${part} ${well}`, okoro);
    expect(world.services.forecast.nextStep().do).toBe("take");
  });

  it.each(["dome shut anyway", "camera away", "sky cloud"])(
    "do not, when it is a lesson: %s",
    async (what) => {
      const world = openWorld();
      await world.type("/request M31 clear 20", mira);
      await world.type(`/equipment ${what}`, okoro);
      expect(world.services.forecast.nextStep().do).toBe("take");
    },
  );

  it("have nothing but a shut dome anyway", async () => {
    expect(read(await openWorld().type("/equipment dome open anyway", okoro))).toContain("Only a shut dome");
  });
});
