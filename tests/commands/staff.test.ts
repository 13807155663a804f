/** What staff do: cancel and undo, hold and resume, rule, session, equipment, announcements, results. */
import { describe, expect, it } from "vitest";
import type { NightslateEvent, Verdict } from "../../src/journal/events.js";
import {
  local,
  mira,
  noor,
  okoro,
  openWorld,
  quill,
  read,
  tomas,
  vance,
  type World,
  zelda,
} from "./world.js";

const states = (world: World) => [...world.services.desk.state.requests.values()].map((each) => each.state);
const entries = async (world: World): Promise<NightslateEvent[]> => {
  const events: NightslateEvent[] = [];
  for await (const entry of world.services.desk.entries()) events.push(...entry.events);
  return events;
};
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

/** #1 Mira M31, #2 Tomas M33, #3 Noor M33, #4 Zelda (other class) M33. */
async function four(): Promise<World> {
  const world = openWorld();
  await world.type("/request M31 clear 20", mira);
  await world.type("/request M33 clear 20", tomas);
  await world.type("/request M33 R 20", noor);
  await world.type("/request M33 clear 20", zelda);
  return world;
}

describe("/cancel", () => {
  it.each([
    ["/cancel 1 cloud", "#1 M31: cancelled", ["cancelled", "waiting", "waiting", "waiting"]],
    [
      "/cancel target=M33 reason=too low",
      "2 requests cancelled",
      ["waiting", "cancelled", "cancelled", "waiting"],
    ],
    ["/cancel target=M33 too low", "2 requests cancelled", ["waiting", "cancelled", "cancelled", "waiting"]],
    [
      "/cancel person=mira reason=asked to",
      "#1 M31: cancelled",
      ["cancelled", "waiting", "waiting", "waiting"],
    ],
    [
      "/cancel group=alder class is over",
      "2 requests cancelled",
      ["cancelled", "cancelled", "waiting", "waiting"],
    ],
    ["/cancel all clouds", "3 requests cancelled", ["cancelled", "cancelled", "cancelled", "waiting"]],
  ])("%s", async (line, title, after) => {
    const world = await four();
    const reply = await world.type(line, quill);
    expect(reply.title, read(reply)).toBe(title);
    expect(states(world)).toEqual(after);
    expect((await entries(world)).filter((each) => each.type === "requests.cancelled")).toHaveLength(1);
  });

  it("takes one number at a time, and does not take a second for the reason", async () => {
    const world = await four();
    const reply = read(await world.type("/cancel 1 2 3 cloud", quill));
    expect(reply).toContain("By number, one request at a time: type /cancel 1 reason=cloud, for example;");
    expect(states(world)).toEqual(["waiting", "waiting", "waiting", "waiting"]);
  });

  it("can be undone for a while, by a button too, and not after that", async () => {
    const world = await four();
    const reply = await world.type("/cancel all clouds", quill);
    expect(read(reply)).toContain("/undo brings them back until 20:02.");
    const button = reply.actions![0]!;
    expect(button).toMatchObject({ label: "Undo", onlyFor: quill.id });
    await world.clock.moveTo(local("2026-11-25T20:01:59"));
    expect(read(await world.press(button, quill))).toBe(
      "[done] 3 requests restored\n#1–#3 wait again, with number and time of asking kept; the owners are told.",
    );
    expect(states(world)).toEqual(["waiting", "waiting", "waiting", "waiting"]);
    await world.type("/cancel 1 cloud", quill);
    await world.clock.moveTo(local("2026-11-25T20:10"));
    expect(read(await world.type("/undo", quill))).toContain(
      "That cancellation was 8 min ago and could be undone for 2 min; the people concerned can ask again with /request.",
    );
  });

  it("cannot be undone by another class's staff", async () => {
    const world = await four();
    await world.type("/cancel all clouds", quill);
    expect(read(await world.type("/undo", vance))).toContain(
      "There is no cancellation of your class that can still be undone",
    );
  });

  it("of many leaves what is being observed to run to its end, and says so", async () => {
    const world = await four();
    await take(world, 1);
    const reply = await world.type("/cancel all cloud", quill);
    expect(read(reply)).toContain("#1 M31 is being observed now and runs to its end, unless you stop it.");
    expect(states(world)).toEqual(["taken", "cancelled", "cancelled", "waiting"]);
    const [stop] = reply.actions!;
    expect(stop?.label).toBe("Stop #1 too");
    expect(read(await world.press(stop!, quill))).toContain("#1 M31: stopped");
    expect(states(world)).toEqual(["cancelled", "cancelled", "cancelled", "waiting"]);
  });

  it("of a single one that waits says so too, but only of what was meant", async () => {
    const world = openWorld();
    for (const [line, asker] of [
      ["/request M31 clear 20", mira],
      ["/request M33 clear 20", tomas],
    ] as const)
      await world.type(line, asker);
    await take(world, 1);
    await world.type("/cancel target=M33 below the trees", quill);
    await world.type("/undo", quill);
    const reply = await world.type("/cancel all cloud", quill);
    expect(reply.actions?.[0]?.label).toBe("Stop #1 too");
    await world.type("/undo", quill);
    const other = await world.type("/cancel target=M33 below the trees", quill);
    expect(read(other)).not.toContain("is being observed");
  });

  it.each(["/cancel all wind", "/cancel person=mira wind", "/cancel target=M31 wind"])(
    "%s, with nothing waiting but one under way, asks what is to become of that",
    async (line) => {
      const world = openWorld();
      await world.type("/request M31 clear 20", mira);
      await take(world, 1);
      const asked = await world.type(line, quill);
      expect(read(asked)).toContain("stop it now, or let it run to its end?");
      expect(read(await world.press(asked.actions![0]!, quill))).toContain("#1 M31: stopped");
    },
  );

  it.each([
    ["/cancel all", "/cancel needs the reason: type, for example, /cancel 12 reason=cloud coming in."],
    [
      "/cancel cloud",
      "Say which: one of a number, person=, target=, group= or all, as in /cancel 12 reason=cloud or /cancel all cloud.",
    ],
    [
      "/cancel 1 all cloud",
      "Say which: one of a number, person=, target=, group= or all, as in /cancel 12 reason=cloud or /cancel all cloud.",
    ],
    [
      "/cancel 4 cloud",
      "#4 belongs to another class; only its own staff can cancel it. Type /queue to see yours.",
    ],
    ["/cancel person=miro cloud", 'There is nobody called "miro" in your class; did you mean Mira?'],
    [
      "/cancel person=zelda cloud",
      'There is nobody called "zelda" in your class; type a name such as Mira, Tomas or Noor.',
    ],
    ["/cancel group=Aldr cloud", 'There is no group "Aldr"; did you mean Alder?'],
    ["/cancel group=Cedar cloud", 'There is no group "Cedar"; your class has Alder and Birch.'],
    [
      "/cancel person=ines cloud",
      "Nothing is waiting: Ines has no request in the queue. Type /queue to see what has.",
    ],
    [
      "/cancel target=M15 cloud",
      "Nothing is waiting: M15 has no request in the queue. Type /queue to see what has.",
    ],
  ])("%s is refused", async (line, sentence) => {
    const world = await four();
    expect(read(await world.type(line, quill))).toBe(`[refused] Not done\n${sentence}`);
    expect(states(world)).toEqual(["waiting", "waiting", "waiting", "waiting"]);
  });

  it("of one that is over says what it is", async () => {
    const world = await four();
    await world.type("/withdraw 1", mira);
    expect(read(await world.type("/cancel 1 cloud", quill))).toContain("#1 M31 is withdrawn already.");
  });
});

describe("/return", () => {
  it("puts a failed request back with its number and time of asking", async () => {
    const world = await four();
    await take(world, 1);
    await world.happen(() => [{ type: "request.failed", number: 1, reason: "no stars" }]);
    expect(read(await world.type("/return 1 camera works again", quill))).toContain(
      "[done] #1 M31: back in the queue, next in line",
    );
    expect(states(world)[0]).toBe("waiting");
    expect(read(await world.type("/return 1", quill))).toContain(
      "#1 M31 is waiting; only a request that failed or brought no usable frame can be put back.",
    );
    expect(read(await world.type("/return 4", quill))).toContain(
      "#4 belongs to another class; only its own staff can put it back.",
    );
  });
});

describe("/return of several", () => {
  const five = async (): Promise<World> => {
    const world = openWorld();
    for (const target of ["M31", "M33", "M57", "M15", "M2"])
      await world.type(`/request ${target} clear 20`, mira);
    for (const number of [1, 2, 3, 4]) {
      await take(world, number);
      const usable: Verdict = { is: "usable", starsSeen: 40, backgroundElectrons: 12 };
      const frame = {
        index: 1,
        startUnixMs: world.clock.now(),
        exposureSeconds: 20,
        filter: "clear",
        imageFile: null,
      };
      await world.happen(() => [
        ...(number === 2
          ? [
              {
                type: "frame.done",
                number,
                frame: { ...frame, previewFile: null, verdict: usable, simulated: false },
              } as const,
            ]
          : []),
        number === 2
          ? { type: "request.completed", number }
          : { type: "request.failed", number, reason: "no stars" },
      ]);
      await world.clock.moveTo(world.clock.now() + 10 * 60_000);
    }
    return world;
  };

  it.each([
    [
      "/return 1 3-4 the camera works again",
      "3 requests back in the queue\n#1, #3 and #4",
      "the camera works again",
    ],
    ["/return all", "3 requests back in the queue\n#1, #3 and #4", "the instructor put it back"],
    ["/return all clouds have gone", "3 requests back in the queue", "clouds have gone"],
    ["/return since 20:15 lens cap was on", "2 requests back in the queue\n#3 and #4", "lens cap was on"],
  ])("%s", async (line, said, reason) => {
    const world = await five();
    expect(read(await world.type(line, quill))).toContain(said);
    expect(world.services.desk.state.requests.get(4)).toMatchObject({ state: "waiting", reason });
    expect(world.services.desk.state.requests.get(2)?.state).toBe("completed");
  });

  it.each([
    ["/return 1 2", "#2 M33 is completed and has usable frames"],
    ["/return 1 5", "#5 M2 is waiting; only a request that failed"],
    ["/return since 20:31", "Nothing of your class failed or came without a usable frame since 20:31."],
    ["/return", "Say which: numbers, all, or since a time"],
    ["/return 1 99", "There is no request #99"],
  ])("%s is refused whole", async (line, sentence) => {
    const world = await five();
    expect(read(await world.type(line, quill))).toContain(sentence);
    expect(world.services.desk.state.requests.get(1)?.state).toBe("failed");
  });
});

describe("/return of a completed request", () => {
  const frame = (index: number, verdict: Verdict): NightslateEvent => ({
    type: "frame.done",
    number: 1,
    frame: {
      index,
      startUnixMs: local("2026-11-25T20:00"),
      exposureSeconds: 20,
      filter: "V",
      imageFile: null,
      previewFile: null,
      verdict,
      simulated: true,
    },
  });
  const black: Verdict = {
    is: "black",
    because: "cloud",
    sunAltitudeDegrees: -40,
    medianAdu: 1000,
    starsExpected: 40,
    starsSeen: 1,
  };
  const usable: Verdict = { is: "usable", starsSeen: 80, backgroundElectrons: 100 };

  it("puts it back when all its frames are black, and it may run and complete again", async () => {
    const world = await four();
    for (const verdict of [black, usable]) {
      await take(world, 1);
      await world.happen(() => [frame(1, verdict), { type: "request.completed", number: 1 }]);
      if (verdict === usable) break;
      expect(read(await world.type("/when 1", mira))).toContain(
        "An instructor can put it back with /return 1; or ask again.",
      );
      expect(read(await world.type("/return 1 clear again", quill))).toContain("#1 M31: back in the queue");
      expect(states(world)[0]).toBe("waiting");
    }
    expect(states(world)[0]).toBe("completed");
    expect(read(await world.type("/when 1", mira))).not.toContain("/return");
  });

  it("refuses one that brought something", async () => {
    const world = await four();
    await take(world, 1);
    await world.happen(() => [frame(1, black), frame(2, usable), { type: "request.completed", number: 1 }]);
    expect(read(await world.type("/return 1", quill))).toContain(
      "#1 M31 is completed and has usable frames; only a request that failed or brought none can be put back. Its owner can ask again with /request.",
    );
  });
});

describe("/hold", () => {
  it("stops the next take at once, and says that it is no interlock and whom to defer to", async () => {
    const world = await four();
    const reply = read(await world.type("/hold people in the dome", okoro));
    expect(reply).toContain(
      "No new request is taken from now on, until someone types /resume. Nothing is under way.",
    );
    expect(reply).toContain(
      "This is no interlock: the machines can still move. Before anyone enters the dome, follow the site's lock-out procedure and let trained staff isolate the drives.",
    );
    expect(world.services.forecast.nextStep()).toMatchObject({ do: "wait", because: "hold" });
    expect(world.services.desk.state.hold).toMatchObject({
      reason: "people in the dome",
      by: okoro.id,
      untilUnixMs: null,
    });
  });

  it("says what is under way and when that ends, and ends by itself when told to", async () => {
    const world = await four();
    await take(world, 1);
    expect(read(await world.type("/hold cloud until 22:30", okoro))).toContain(
      "until 22:30, or /resume before. #1 M31 is under way and runs to its end, about 20:02.",
    );
    expect(world.services.desk.state.hold?.untilUnixMs).toBe(local("2026-11-25T22:30"));
  });

  it("again takes the place of the first, and needs a reason", async () => {
    const world = await four();
    await world.type("/hold cloud", okoro);
    expect(read(await world.type("/hold rain", okoro))).toContain(
      "It takes the place of the earlier hold (cloud).",
    );
    expect(read(await world.type("/hold", okoro))).toContain(
      "/hold needs the reason: type, for example, /hold cloud.",
    );
  });
});

describe("/resume", () => {
  it("lifts the hold, names what is next, and warns of moving machines", async () => {
    const world = await four();
    await world.type("/hold cloud", okoro);
    await world.clock.moveTo(local("2026-11-25T20:12"));
    const reply = read(await world.type("/resume", okoro));
    expect(reply).toContain("[done] The hold is lifted after 12 min\n#1 M31 is next, about 20:12.");
    expect(reply).toContain(
      "be sure that nobody is near them and that trained staff have released the lock-out.",
    );
    expect(read(await world.type("/resume", okoro))).toContain(
      "There is no hold to lift; requests are being taken.",
    );
  });
});

describe("/rule", () => {
  it("shows the rule in one sentence, sets another, and says what changes", async () => {
    const world = await four();
    expect(read(await world.type("/rule", quill))).toContain(
      "[answer] The rule is highest-first\nWithin a tier, the target that stands highest runs first",
    );
    const reply = read(await world.type("/rule setting-first", quill));
    expect(reply).toContain(
      "[done] The rule is setting-first now\nWithin a tier, the target whose window closes first runs first.",
    );
    expect(reply).toMatch(
      /#\d M\d+ is next now; \d of 4 change their place tonight; as many fit before dawn as under the other rule\.|stays as it was/,
    );
    expect(world.services.desk.state.rule).toBe("setting-first");
    expect(read(await world.type("/rule setting-first", quill))).toContain(
      "The rule is setting-first already",
    );
    expect(read(await world.type("/rule fastest", quill))).toContain(
      '"fastest" is not possible here; the name can be highest-first, first-come, setting-first, one-each or planned.',
    );
  });
});

describe("/session", () => {
  it("shows, opens, closes, and sets the class free again", async () => {
    const world = await four();
    expect(read(await world.type("/session", quill))).toContain("[answer] Your class may ask at any time");
    expect(read(await world.type("/session open until 23:30", quill))).toContain(
      "Your class may ask now, until 23:30.",
    );
    expect(read(await world.type("/session", quill))).toContain(
      "[answer] The session is open\nIt was opened at 20:00 and is open until 23:30.",
    );
    expect(read(await world.type("/session close", quill))).toContain(
      "3 requests of your class wait; closing does not end them",
    );
    expect(read(await world.type("/session close", quill))).toContain("The session is closed already.");
    expect(read(await world.type("/session", quill))).toContain("[answer] The session is closed");
    await world.type("/session always", quill);
    expect(read(await world.type("/session", quill))).toContain("Your class may ask at any time");
  });

  it("lists the class with groups, who is here, and what each has waiting", async () => {
    const world = await four();
    const reply = await world.type("/session roster", quill);
    expect(read(reply)).toContain("26 people, 4 of them here so far; groups Alder and Birch.");
    expect(read(reply)).toContain("  Mira | Alder | yes | 1");
    expect(read(reply)).toContain("  Ines | Alder | not yet | 0");
    expect(read(reply)).not.toMatch(/Zelda/);
  });

  it("sets a group by names, with or without commas", async () => {
    const world = await four();
    expect(read(await world.type("/session groups Cygnus mira, Tomas", quill))).toContain(
      "[done] Group Cygnus is set\nIt has 2 members now",
    );
    await world.type("/session groups Lyra noor ines", quill);
    const groups = world.services.desk.state.groups.get("evening-2");
    expect(groups?.get("Cygnus")).toEqual([mira.id, tomas.id]);
    expect(groups?.get("Lyra")).toEqual([noor.id, "terminal:ines"]);
    expect(read(await world.type("/session groups Lyra", quill))).toContain(
      "Say who is in Lyra: type, for example, /session groups Lyra mira, tomas.",
    );
    expect(read(await world.type("/session groups Lyra zelda", quill))).toContain(
      'There is nobody called "zelda" in your class',
    );
  });
});

describe("/hold until", () => {
  it.each([
    ["/hold cloud until yesterday", '"yesterday" is no time here'],
    ["/hold cloud until lunch break", '"lunch break" is no time here'],
  ])("%s is no hold without end", async (line, said) => {
    const world = openWorld();
    expect(read(await world.type(line, okoro))).toContain(said);
    expect(world.services.desk.state.hold).toBeNull();
  });

  it("is read inside the reason too, as forms send it; further notice has no end", async () => {
    const world = openWorld();
    await world.use("hold", { reason: "cloud until 22:30" }, okoro);
    expect(world.services.desk.state.hold).toMatchObject({
      reason: "cloud",
      untilUnixMs: local("2026-11-25T22:30"),
    });
    await world.type("/hold closed until further notice", okoro);
    expect(world.services.desk.state.hold).toMatchObject({
      reason: "closed until further notice",
      untilUnixMs: null,
    });
  });
});

describe("/equipment", () => {
  it("of a part offers that part's states only", async () => {
    const world = openWorld();
    expect(read(await world.type("/equipment dome banana", okoro))).toContain(
      'The dome cannot be "banana"; it can be open, shut or fault.',
    );
  });

  it("shows, sets, and refuses what a part cannot be", async () => {
    const world = openWorld();
    expect(read(await world.type("/equipment camera away", okoro))).toContain(
      "[done] Camera: away\nTelescope ready, dome shut, camera away, sky unknown.",
    );
    expect(read(await world.type("/equipment", okoro))).toContain("Equipment: needs attention");
    expect(read(await world.type("/equipment camera open", okoro))).toContain(
      'The camera cannot be "open"; it can be fitted, away or fault.',
    );
    expect(read(await world.type("/equipment camera", okoro))).toContain(
      "Say the part and its state, as in /equipment camera away",
    );
    expect(read(await world.type("/equipment mirror clean", okoro))).toContain(
      '"mirror" is not possible here; the part can be telescope, dome, camera or sky.',
    );
    expect(world.services.desk.state.equipment.camera).toBe("away");
  });
});

describe("/announce", () => {
  it("says it to the asker's own class", async () => {
    const world = openWorld();
    expect(read(await world.type("/announce We start with M15, then M31.", quill))).toBe(
      "[done] Announced\nEvening Survey, section 2 reads it now.",
    );
    expect((await entries(world)).at(-1)).toEqual({
      type: "announcement.made",
      classId: "evening-2",
      text: "We start with M15, then M31.",
      by: quill.id,
    });
  });
});

describe("/results", () => {
  it("gives a summary, and a file of the asker's own class only", async () => {
    const world = await four();
    await take(world, 1);
    await world.happen((_, now) => [
      {
        type: "frame.done",
        number: 1,
        frame: {
          index: 1,
          startUnixMs: now,
          exposureSeconds: 20,
          filter: "clear",
          imageFile: "frames/1-1.fits",
          previewFile: null,
          verdict: { is: "usable", starsSeen: 12, backgroundElectrons: 9 },
          simulated: true,
        },
      },
      { type: "request.completed", number: 1 },
    ]);
    const reply = await world.type("/results", quill);
    expect(read(reply)).toContain(
      "[answer] 3 requests so far\n3 requests by 3 people: 1 completed and 2 waiting.\n1 of 1 frame usable.",
    );
    const csv = String(reply.downloads?.[0]?.content);
    const [heading, first] = csv.split("\r\n");
    expect(heading).toBe(
      "\ufeffrequest,person,account,shared_with,group,target,target_name,filter,exposure_seconds,frames_asked,asked,taken,ended,state,frames_done,frames_usable,outcome,files,reason,note",
    );
    expect(first).toBe(
      "1,Mira,mira,,Alder,M31,Andromeda Galaxy (M31),clear,20,1,2026-11-25T20:00:00-06:00,2026-11-25T20:00:00-06:00,2026-11-25T20:00:00-06:00,completed,1,1,usable: 12 stars seen,frames/1-1.fits,,",
    );
    expect(csv).not.toMatch(/zelda/i);
  });

  it("keeps formulas typed by people from running in a spreadsheet", async () => {
    const world = openWorld();
    const notes = ["=HYPERLINK(1)", "+1+1", "-2+3", "@SUM(A1)"];
    for (const [index, note] of notes.entries())
      await world.use("request", { target: "M31", exposure: index + 1, note });
    const csv = String((await world.type("/results", quill)).downloads?.[0]?.content);
    expect(csv).toContain(",'=HYPERLINK(1)\r\n");
    expect(csv).toContain(",'+1+1\r\n");
    expect(csv).toContain(",'-2+3\r\n");
    expect(csv).toContain(",'@SUM(A1)\r\n");
    expect(csv).not.toMatch(/(^|,)"?[=+@]/m);
  });

  it("with nothing asked gives no file", async () => {
    const reply = await openWorld().type("/results tonight", quill);
    expect(read(reply)).toBe(
      "[answer] No requests tonight, 2026-11-25\nNothing has been asked for, so there is no file.",
    );
    expect(reply.downloads).toBeUndefined();
  });
});
