/** "When will mine run?": the answer first, then the reason, then what could change it. */
import { describe, expect, it } from "vitest";
import { ruleSentence } from "../../src/commands/words/reasons.js";
import type { Decider } from "../../src/forecast/night-run.js";
import { deciderClause } from "../../src/notices/words/decider.js";
import { RULE_NAMES } from "../../src/queue/request.js";
import {
  idle,
  local,
  mira,
  noor,
  okoro,
  openWorld,
  quill,
  read,
  text,
  tomas,
  type World,
  zelda,
} from "./world.js";

const take = (world: World, number: number) =>
  world.happen((_, now) => [
    {
      type: "request.taken",
      number,
      freeUnixMs: now + 120_000,
      altitudeDegrees: 78,
      airmass: 1.02,
      pointingAfter: null,
    },
  ]);

async function threeInLine(): Promise<World> {
  const world = openWorld();
  await world.happen(() => [{ type: "equipment.changed", equipment: idle(0).equipment, by: null }]);
  await world.type("/request M31 clear 20 3", tomas);
  await world.type("/request M15 clear 20 3", noor);
  await world.type("/request M57 clear 20 3", mira);
  return world;
}

describe("/when for a waiting request", () => {
  it("leads with place and start, gives the deciding numbers, what runs before, and what could change it", async () => {
    const world = await threeInLine();
    expect(read(await world.type("/when"))).toMatch(
      new RegExp(
        [
          String.raw`^\[answer\] #3 M57: third in line`,
          String.raw`Starts about 20:0\d\.`,
          String.raw`#2 M15 runs before #3 M57: it stands higher then, 4\d° \(airmass 1\.3\d\) against 3\d° \(1\.\d\d\)\.`,
          String.raw`Before it run #1 M31 and #2 M15\.`,
          String.raw`A later request for a higher target may overtake it, and cloud, a hold or a staff request can delay it\.`,
          String.raw`<Why\?> /why 3`,
          "<Withdraw> /withdraw 3$",
        ].join("\n"),
      ),
    );
  });

  it("names what is being observed among what runs before it", async () => {
    const world = await threeInLine();
    await take(world, 1);
    expect(read(await world.type("/when"))).toContain(
      "Before it run #1 M31 (being observed now), then #2 M15.",
    );
    expect(read(await world.type("/when 2"))).toContain(
      "#1 M31 is being observed now; then it is the turn of #2.",
    );
  });

  it("while the telescope has a fault gives no time", async () => {
    const world = await threeInLine();
    await world.type("/equipment telescope fault", okoro);
    const reply = read(await world.type("/when"));
    expect(reply).toContain("#3 M57: waiting");
    expect(reply).toContain(
      "It waits for the telescope's fault to be mended; no time can be given before that.",
    );
    expect(reply).toContain("If the fault were mended now, it would be third in line.");
    expect(reply).toContain("It gets a time when the fault is mended.");
  });

  it("for the first in line gives the reason it won", async () => {
    const world = await threeInLine();
    const reply = read(await world.type("/when 1", tomas));
    expect(reply).toContain("#1 M31: next in line");
    expect(reply).toContain("#1 M31 runs before #2 M15: it stands higher then");
    expect(reply).toContain("Nothing else runs before it.");
  });

  it("without a number tells of the asker's next request and mentions the others", async () => {
    const world = await threeInLine();
    await world.type("/request M33 clear 20", mira);
    const reply = read(await world.type("when will mine run?"));
    expect(reply).toContain("#4 M33: second in line");
    expect(reply).toContain("You also have #3 M57; /when with a number tells of each.");
  });

  it("of one that waits for height says so, and what it stands behind meanwhile", async () => {
    const world = openWorld("2026-11-25T22:00", (config) => ({
      ...config,
      queue: { ...config.queue, worthwhileAltitudeDegrees: 40 },
    }));
    await world.type("/request M44 clear 20 1");
    const reply = read(await world.type("/when"));
    expect(reply).toContain("#1 M44: waits for its time");
    expect(reply).toMatch(/It waits until \d\d:\d\d, to stand higher; that keeps nobody waiting\./);
    await world.clock.moveTo(local("2026-11-26T00:10"));
    await world.type("/request M31 clear 20 1", tomas);
    expect(read(await world.type("/why 1 2"))).toMatch(
      /Why: #1 M44 stands at 2\d° then, and waits until \d\d:\d\d to stand higher, which keeps nobody waiting\./,
    );
  });

  it("during a hold says so, and that no time can be given", async () => {
    const world = await threeInLine();
    await world.type("/hold cloud", okoro);
    const reply = read(await world.type("/when"));
    expect(reply.split("\n").slice(1, 5)).toEqual([
      "It waits for the hold to be lifted; no time can be given before that. Reason: cloud.",
      "If the hold were lifted now, it would be third in line.",
      expect.stringMatching(/^#2 M15 would run before #3 M57: it stands higher then, 4\d° .* against 3\d° /),
      "It gets a time when staff resume.",
    ]);
  });

  it("during a hold with an end keeps the time and says until when", async () => {
    const world = await threeInLine();
    await world.type("/hold dew until 21:00", okoro);
    const reply = read(await world.type("/when", tomas));
    expect(reply).toMatch(
      /Starts about 21:0\d\.\nOn hold until 21:00; no new request is taken\. Reason: dew\./,
    );
    expect(reply).toContain("cloud, a longer hold or a staff request can delay it.");
  });

  it("names the tier where that decided", async () => {
    const world = openWorld();
    await world.type("/request M57 clear 20", mira);
    await world.type("/request M57 R 20", quill);
    expect(read(await world.type("/when"))).toContain(
      "#2 M57 runs before #1 M57: tier staff runs before tier class.",
    );
  });

  it("counts what belongs to another class and never names it", async () => {
    const world = await threeInLine();
    await world.type("/request M33 clear 20", zelda);
    const reply = read(await world.type("/when"));
    expect(reply).toContain("Before it run #1 M31, #2 M15 and 1 from another class.");
    expect(reply).not.toMatch(/Zelda|zelda|#4/);
  });

  it("shows a range and a chance where the forecast has them", async () => {
    const world = await threeInLine();
    const { forecast } = world.services;
    const spread = {
      ...world.services,
      forecast: {
        ...forecast,
        estimate: (number: number) => {
          const central = forecast.estimate(number);
          return (
            central && {
              ...central,
              startUnixMs: local("2026-11-25T21:40"),
              earliestUnixMs: local("2026-11-25T21:32"),
              latestUnixMs: local("2026-11-25T21:55"),
              chanceTonight: 0.8,
            }
          );
        },
      },
    };
    Object.assign(world.services, spread);
    expect(read(await world.type("/when"))).toContain(
      "Starts about 21:40 (21:32–21:55). Its chance of running tonight is 80 %.",
    );
  });
});

describe("/when for a request that waits no longer", () => {
  it("says what the telescope is doing for it", async () => {
    const world = await threeInLine();
    await take(world, 3);
    world.status = {
      ...idle(0),
      activity: "moving",
      requestNumber: 3,
      waitingFor: "dome",
      domeDegreesLeft: 32.4,
      untilUnixMs: local("2026-11-25T20:01"),
    };
    expect(read(await world.type("/when"))).toContain(
      "#3 M57: being observed now\nThe telescope is moving; the dome has 32° to turn; that ends ",
    );
    world.status = {
      ...idle(0),
      activity: "exposing",
      requestNumber: 3,
      frame: 2,
      frames: 3,
      exposureSeconds: 20,
    };
    const reply = read(await world.type("/when 3", tomas));
    expect(reply).toContain(
      "The telescope is exposing frame 2 of 3, 20 s. The telescope is free again about 20:02.",
    );
  });

  it("completed: the verdict and where the frame is", async () => {
    const world = await threeInLine();
    await take(world, 3);
    await world.happen((_, now) => [
      {
        type: "frame.done",
        number: 3,
        frame: {
          index: 1,
          startUnixMs: now,
          exposureSeconds: 20,
          filter: "clear",
          imageFile: "frames/3-1.fits",
          previewFile: "frames/3-1.png",
          verdict: { is: "usable", starsSeen: 143, backgroundElectrons: 90 },
          simulated: true,
        },
      },
      { type: "request.completed", number: 3 },
    ]);
    const told = await world.type("/when 3");
    expect(read(told)).toBe(
      [
        "[answer] #3 M57: completed",
        "Completed 20:00: usable: 143 stars seen. SIMULATED by the practice telescope.",
      ].join("\n"),
    );
    expect(told.frames).toMatchObject([{ request: { number: 3 }, frame: { previewFile: "frames/3-1.png" } }]);
    expect((await world.type("/mine")).frames).toEqual(told.frames);
  });

  it("cancelled: by whom, in what role, and why", async () => {
    const world = await threeInLine();
    await world.type("/cancel 3 cloud coming in", quill);
    expect(read(await world.type("/when 3"))).toContain(
      "Cancelled 20:00 by <terminal:quill>, instructor.\nReason: cloud coming in.",
    );
  });

  it("withdrawn and failed: what can be done", async () => {
    const world = await threeInLine();
    await world.type("/withdraw 3");
    expect(read(await world.type("/when 3"))).toContain(
      "Withdrawn 20:00 by its owner. Ask again with /request when you like.",
    );
    await take(world, 1);
    await world.happen(() => [{ type: "request.failed", number: 1, reason: "no stars were found" }]);
    expect(read(await world.type("/when 1"))).toContain(
      "Failed 20:00. Reason: no stars were found.\nAn instructor can put it back with /return 1; or ask again.",
    );
  });
});

describe("/when with nothing to tell", () => {
  it("says how to ask", async () => {
    expect(read(await openWorld().type("/when"))).toContain(
      "You have no request waiting. Ask for a frame with /request M13, or see what is up with /tonight.",
    );
  });

  it("refuses unknown and other classes' numbers, and says which are the asker's own", async () => {
    const world = await threeInLine();
    expect(read(await world.type("/when 99"))).toContain("There is no request #99. Yours: #3 M57.");
    expect(read(await world.type("/when 99", zelda))).toContain(
      "There is no request #99; /queue shows the numbers.",
    );
    expect(read(await world.type("/when 1", zelda))).toContain(
      "#1 belongs to another class, so nothing can be said about it here. Type /when for your own.",
    );
    expect(read(await world.use("when", { request: "soon" }))).toContain(
      '"soon" is no request number: type /when 12, for example. Yours: #3 M57.',
    );
  });
});

describe("/why", () => {
  it("lists the turns before, each with what decided, and the rule", async () => {
    const world = await threeInLine();
    const reply = await world.type("/why 3");
    const said = read(reply);
    expect(said).toContain(
      `The rule is highest-first. ${ruleSentence("highest-first")} Tiers come first: staff, then class, then guests.`,
    );
    expect(said).toMatch(
      /20:00 \| #1 M31 \| 78°, airmass 1\.02 \| before #2 M15: it stands higher then, 78° \(airmass 1\.02\) against 4\d° \(1\.3\d\)/,
    );
    expect(said).toMatch(
      /▸ 20:0\d \| #3 M57 \| 3\d°, airmass 1\.\d\d \| nothing else could be observed then/,
    );
    expect(reply.table?.ownRows).toEqual([2]);
  });
});

describe("A deciding number in words", () => {
  const context = { tiers: ["staff", "class"], now: local("2026-11-25T21:00") };
  const at = (clock: string) => local(`2026-11-25T${clock}`);
  it.each<[Decider, string]>([
    [{ by: "tier", tier: 0, otherTier: 1 }, "tier staff runs before tier class"],
    [
      { by: "altitude", altitudeDegrees: 71.2, otherAltitudeDegrees: 54.1 },
      "it stands higher then, 71° (airmass 1.06) against 54° (1.23)",
    ],
    [
      { by: "altitude", altitudeDegrees: 54.31, otherAltitudeDegrees: 54.28 },
      "it stands higher then, 54.32° (airmass 1.23) against 54.29° (1.23)",
    ],
    [
      { by: "asked", askedUnixMs: at("20:15"), otherAskedUnixMs: at("20:22") },
      "it was asked for first, at 20:15 against 20:22",
    ],
    [
      { by: "asked", askedUnixMs: at("20:15:00"), otherAskedUnixMs: at("20:15:12") },
      "it was asked for first, 12 s earlier",
    ],
    [
      { by: "asked", askedUnixMs: at("20:15"), otherAskedUnixMs: at("20:15") },
      "it was asked for first, though in the same second",
    ],
    [
      { by: "closing", closeUnixMs: at("22:10"), otherCloseUnixMs: at("23:40") },
      "its window closes first, at 22:10 against 23:40",
    ],
    [
      { by: "altitude", altitudeDegrees: 60.51234, otherAltitudeDegrees: 60.51231 },
      "it stands higher then, 60.52192° (airmass 1.15) against 60.52189° (1.15)",
    ],
    [
      { by: "altitude", altitudeDegrees: 60.5, otherAltitudeDegrees: 60.5 - 1e-9 },
      "it stands higher then, by less than a millionth of a degree, both at 60.51°",
    ],
    [
      { by: "closing", closeUnixMs: at("22:10:05"), otherCloseUnixMs: at("22:10:17") },
      "its window closes first, at 22:10, 12 s before the other's",
    ],
    [
      { by: "closing", closeUnixMs: at("22:10"), otherCloseUnixMs: at("22:10") + 0.25 },
      "its window closes first, at 22:10, less than 0.001 s before the other's",
    ],
    [{ by: "turn", taken: 0, otherTaken: 1 }, "its owner has had no turn tonight, the other's owner one"],
    [{ by: "turn", taken: 1, otherTaken: 2 }, "its owner has had one turn tonight, the other's owner two"],
    [
      { by: "plan", why: { what: "near", readyMs: 130_000, otherReadyMs: 132_000 } },
      "it is nearer, 2 min 10 s against 2 min 12 s of moving",
    ],
    [
      { by: "plan", why: { what: "near", readyMs: 130_000, otherReadyMs: 130_400 } },
      "it is nearer, by 0.4 s of 2 min 10 s of moving",
    ],
    [{ by: "window", opensUnixMs: at("23:17") }, "the other cannot be observed before 23:17"],
    [{ by: "only" }, "nothing else could be observed then"],
  ])("%j", (decider, words) => {
    expect(text(deciderClause(decider, context))).toBe(words);
  });

  it("every rule is explained in one sentence", () => {
    for (const rule of RULE_NAMES) expect(ruleSentence(rule)).toMatch(/^Within a tier, [^.]+\.$/);
  });
});
