/** Asking for frames: what is accepted, what is said, what is refused and how. */
import { describe, expect, it } from "vitest";
import { idle, local, mira, noor, okoro, openWorld, quill, read, tomas, type World, zelda } from "./world.js";

const made = (world: World) => [...world.services.desk.state.requests.values()];
const only = (world: World) => made(world)[0]!;

describe("A request typed in one breath", () => {
  it.each([
    ["/request M31 clear 20 3", "M31", "clear", 20, 3],
    ["/request m 31, V, 30 s, 2", "M31", "V", 30, 2],
    ["/request M31 V 30s x2", "M31", "V", 30, 2],
    ["/request M31 x2 30s V", "M31", "V", 30, 2],
    ["/request M31 v 2 30s", "M31", "V", 30, 2],
    ["/request M31 R 1.5 min", "M31", "R", 90, 1],
    ["/request M31 R 2m 3", "M31", "R", 120, 3],
    ["/request M31 3x20s B", "M31", "B", 20, 3],
    ["/request M31 3 x 20 s B", "M31", "B", 20, 3],
    ["/request M31 B 20 3 frames", "M31", "B", 20, 3],
    ["/request M31 H-alpha 60", "M31", "Hα", 60, 1],
    ["/request M31 Ha 60", "M31", "Hα", 60, 1],
    ["/request Andromeda Galaxy clear 20 3", "M31", "clear", 20, 3],
    ["/request Andromeda Galaxy, clear, 20 s, 3", "M31", "clear", 20, 3],
    ["/request NGC 7662 R 20", "NGC7662", "R", 20, 1],
    ["/request target=M31 filter=R exposure=60 frames=2", "M31", "R", 60, 2],
    ["/request M31 R exposure=60 frames=2", "M31", "R", 60, 2],
    ["/request 00 42 44 +41 16 09 clear 20", "J004244+411609", "clear", 20, 1],
  ])("%s", async (line, target, filter, exposureSeconds, frames) => {
    const world = openWorld();
    const reply = await world.type(line);
    expect(reply.tone, read(reply)).not.toBe("refused");
    expect(only(world)).toMatchObject({ target: { id: target }, filter, exposureSeconds, frames });
  });

  it("may leave out everything but the target, and hears what was taken for it", async () => {
    const world = openWorld();
    const reply = read(await world.type("/request M31"));
    const { filter, exposureSeconds, frames } = only(world);
    expect([filter, frames]).toEqual(["clear", 1]);
    expect(reply).toContain(`1 frame of ${exposureSeconds} s, filter clear.`);
    expect(reply).toContain(
      `You left out filter, exposure and frames; to choose, type for example /request M31 clear ${exposureSeconds} 1.`,
    );
  });

  it("names only what was left out", async () => {
    const world = openWorld();
    expect(read(await world.type("/request M31 clear 20"))).toContain("You left out frames;");
    expect(read(await world.type("/request M31 clear 20 2"))).not.toContain("You left out");
  });

  it("gets a filter that does not overexpose where the clear one would", async () => {
    const world = openWorld("2026-11-25T23:00");
    await world.type("/request Moon");
    expect(only(world).filter).not.toBe("clear");
  });
});

describe("The answer", () => {
  it("gives number, place and start, and what helps", async () => {
    const world = openWorld();
    await world.happen(darkAndOpen);
    const reply = await world.type("/request M31 clear 20 3");
    expect(read(reply)).toBe(
      [
        "[done] #1 M31: next in line",
        "Starts about 20:00.",
        "Andromeda Galaxy (M31): 3 frames of 20 s, filter clear.",
        "It is at its best at 21:06, at 89° (airmass 1.00).",
        "Expect a grainy picture, signal to noise about 18 in its bright part; its outskirts stay lost in the noise.",
        "It is 3.2° × 1.0° large and the field 19′ × 19′: a frame shows its core.",
        "<When?> /when 1",
        "<Withdraw> /withdraw 1",
      ].join("\n"),
    );
  });

  it("warns of a target that opens later tonight, with the time, and names what is up now", async () => {
    const reply = read(await openWorld().type("/request Jupiter B 1"));
    expect(reply).toContain("[warning] #1 Jupiter: waits for its time");
    expect(reply).toMatch(/It can be observed from 01:1\d: it is 29° below the horizon now\./);
    expect(reply).toMatch(/Up now, if you would rather not wait: M31 at 78°, .* and .* at \d\d°\./);
  });

  it("by day says that it is too bright until dusk", async () => {
    const reply = read(await openWorld("2026-11-25T15:00").type("/request M31 clear 20 3"));
    expect(reply).toMatch(
      /from 18:\d\d: before that it is too bright, the Sun being 1\d° above the horizon now\./,
    );
    expect(reply).not.toContain("dome is shut");
  });

  it("says tomorrow night when tonight is over for the target", async () => {
    const reply = read(await openWorld("2026-11-25T23:00").type("/request M57 clear 20 3"));
    expect(reply).toMatch(
      /It cannot be observed any more tonight, but tomorrow night from Thu 26 Nov 18:1\d:/,
    );
    expect(reply).toContain("no turn tonight");
  });

  it("speaks of the time that was asked for, not of now", async () => {
    const reply = read(await openWorld().type("/request M42 clear 20 at 21:00"));
    expect(reply).toMatch(/It can be observed from 22:1\d: it stands at \d+° then, and the limit is 20°\./);
  });

  it("never says that a target rises to the very limit that it misses", async () => {
    const reply = read(await openWorld().type("/request 18 00 00 -27 40 00"));
    expect(reply).toContain("never rises above 19.9° here; the limit is 20°.");
  });

  it("warns of a bright Moon nearby", async () => {
    const world = openWorld("2026-11-25T23:00");
    expect(read(await world.type("/request M45 clear 20"))).toMatch(
      /The Moon, 9\d % lit, will be only 2\d° away: expect a bright sky\./,
    );
  });

  it("warns of overexposure and says what would do", async () => {
    const world = openWorld("2026-11-26T03:00");
    expect(read(await world.type("/request Jupiter clear 10"))).toContain("10 s will overexpose it; 0.0");
  });

  it("warns when the target will be lost in the noise, and not of what it suggests itself", async () => {
    const world = openWorld();
    const hopeless = read(await world.type("/request M33 Hα 0.01 1"));
    expect(hopeless).toMatch(/0\.01 s is too short for it to show in filter Hα: ask for \d+ s or so\./);
    expect(read(await world.type("/request M33"))).not.toContain("too short");
  });

  it("warns when no camera is fitted, and of a hold", async () => {
    const world = openWorld();
    await world.type("/equipment camera away", okoro);
    await world.type("/hold cloud", okoro);
    const reply = read(await world.type("/request M31 clear 20 3"));
    expect(reply).toContain("No camera is fitted, so frames are simulated and marked until it is back.");
    expect(reply).toContain(
      "It waits for the hold to be lifted; no time can be given before that. Reason: cloud.",
    );
    expect(reply).not.toContain("On hold until");
  });

  it("says what hides a target that is behind the trees, and until when", async () => {
    const world = openWorld("2026-11-25T21:05");
    expect(read(await world.type("/request M57 clear 20"))).toMatch(
      /any more tonight, but tomorrow night from Thu 26 Nov 18:1\d: it stands at 2\d° now, behind trees or walls that reach 2\d° there\./,
    );
  });

  it.each([
    "/request M81 clear 20 1 23:00",
    "/request M81 clear 20 1 not before 23:00",
    "/request M81 after 23:00",
  ])("%s waits for that time", async (line) => {
    const world = openWorld();
    await world.type(line);
    expect(only(world)).toMatchObject({ target: { id: "M81" }, notBeforeUnixMs: local("2026-11-25T23:00") });
  });

  it("keeps the note, cleaned, and the time before which it must not run", async () => {
    const world = openWorld();
    const reply = read(
      await world.type("/request M81 clear 20 1 notbefore=23:00 note=for\u0007 the  poster"),
    );
    expect(reply).toContain("Starts about 23:00.");
    expect(only(world)).toMatchObject({ note: "for the poster", notBeforeUnixMs: local("2026-11-25T23:00") });
  });

  it("remembers which start was told, so that a later move is noticed", async () => {
    const world = openWorld();
    await world.type("/request M31 clear 20 3");
    // What was told is stored behind the answer; acts are done in the order of asking.
    await world.services.desk.act(() => [], { by: "test" });
    expect(world.services.desk.state.told.get(1)).toBe(local("2026-11-25T20:00"));
  });
});

describe("Class and tier", () => {
  it("come from the asker's class, and staff run in the staff tier", async () => {
    const world = openWorld();
    await world.type("/request M31 clear 20 3", mira);
    await world.type("/request M33 clear 20 3", quill);
    await world.type("/request M15 clear 20 3", zelda);
    expect(made(world).map((each) => [each.classId, each.tier, each.group])).toEqual([
      ["evening-2", 1, "Alder"],
      ["evening-2", 0, null],
      ["morning-1", 1, "Cedar"],
    ]);
  });

  it("a person who was not known is known afterwards", async () => {
    const world = openWorld();
    await world.type("/queue", tomas);
    expect(world.services.desk.state.people.get("terminal:tomas")).toMatchObject({
      name: "Tomas",
      group: "Alder",
    });
  });
});

describe("A request that cannot be granted changes nothing and is refused with", () => {
  it.each([
    ["/request Sun", /^The Sun is never a target/],
    ["/request sun clear 20", /^The Sun is never a target/],
    [
      "/request M 113 clear",
      /^There is nothing called "M 113" in the catalogue; did you mean M110, M103 or M13\?\n<Ask for M110> \/request filter=clear target=M110/,
    ],
    ["/request", "/request needs the target: type, for example, /request M13."],
    [
      "/request qqqqqq",
      'There is nothing called "qqqqqq" in the catalogue; type a name such as M13, Ring Nebula or Vega, or coordinates such as 05 35 17 -05 23 28.',
    ],
    [
      "/request M7 clear 20",
      "M7 never rises above 13° here; the limit is 20°. Ask for something that is up: /tonight has a list.",
    ],
    [
      "/request C103",
      "NGC 2070 never rises here; the limit is 20°. Ask for something that is up: /tonight has a list.",
    ],
    ["/request M31 Q 20", 'There is no filter "Q"; did you mean B? The camera has clear, B, V, R and Hα.'],
    [
      "/request Ring Nebul clear 20",
      /^There is nothing called "Ring Nebul" in the catalogue; did you mean Ring Nebula \(M57\)/,
    ],
    ["/request M31 infrared 20", 'There is no filter "infrared"; the camera has clear, B, V, R and Hα.'],
    ["/request M31 clear 0", "An exposure of 0 s is not possible: give from 0.01 to 600 s."],
    ["/request M31 clear 0.001", "An exposure of 0.001 s is not possible: give from 0.01 to 600 s."],
    ["/request M31 clear -5", /^I understood M31 and filter clear, but not “-5”: press to ask without it/],
    ["/request M31 exposure=-05", '"-05" is no exposure: type a number, such as 20 or 1.5 min.'],
    ["/request M31 clear 20m", "An exposure of 1200 s is not possible: give from 0.01 to 600 s."],
    ["/request M31 clear 20 0", "Frames must be a whole number from 1 to 20."],
    ["/request M31 clear 20 21", "Frames must be a whole number from 1 to 20."],
    ["/request M31 clear 20 frames=two", "The frames must be a whole number from 1 to 20, such as 3."],
    ["/request M31 clear exposure=long", '"long" is no exposure: type a number, such as 20 or 1.5 min.'],
    [
      "/request M31 clear 600 20",
      "20 frames of 600 s make 200 min; one request may expose for 60 min at most. Ask for 6 frames or fewer.",
    ],
    [
      "/request M31 R filter=V",
      'Given twice: filter, as "V" and as "R". Say it once, as in /request M13 clear 20 3.',
    ],
    [
      "/request M31 for Tomas",
      "A request is always your own: let the other person type it, or /join theirs once it is there.",
    ],
    [
      "/request M31 person=tomas",
      "A request is always your own: let the other person type it, or /join theirs once it is there.",
    ],
    [
      "/request M31 @tomas",
      "A request is always your own: let the other person type it, or /join theirs once it is there.",
    ],
    ["/request M31 notbefore=19:30", "19:30 is past: it is 20:00 at the observatory. Type a later time."],
    ["/request 25 00 00 +10 00 00", /^A right ascension runs from 0h to 24h .*"25 00 00" doesn.t/],
    ["/request 10 00 00 +95 00 00 clear 20", /^A declination runs from -90° to \+90°, "\+95 00 00" doesn.t/],
    [
      "/request M31 clear abc",
      /^I understood M31 and filter clear, but not “abc”: press to ask without it, or type it as in /,
    ],
    [
      "/request M31 foo=bar",
      '/request has no option "foo"; it takes target, filter, exposure, frames, notbefore, best, note and anyway.',
    ],
    ["/request M31 clear 20 fraems=3", '/request has no option "fraems"; did you mean frames?'],
    [
      `/request M31 clear ${"9".repeat(400)}`,
      "That is 400 characters; the exposure may have at most 120. Say it in fewer words.",
    ],
    [
      "/request M31 clear 20 3 anyway=maybe",
      '"maybe" is not possible for anyway: type anyway=yes or leave it out.',
    ],
    [
      "/request Saturn purple",
      /^There is nothing called "Saturn purple" in the catalogue; did you mean Saturn\?/,
    ],
    [
      "/request M31 and M33",
      /^M31 and M33 are two targets, and a request is for one: ask for each by itself\./,
    ],
    [
      "/request M31 tomorrow",
      /^A request waits in the queue until its turn, this night or another: leave the day out/,
    ],
    ["/request M31 clear 1e9", /^I understood M31 and filter clear, but not “1e9”/],
  ])("%s", async (line, sentence) => {
    const world = openWorld();
    const reply = await world.type(line);
    expect(reply.tone).toBe("refused");
    const said = read(reply).split("\n").slice(1).join("\n");
    if (typeof sentence === "string") expect(said).toBe(sentence);
    else expect(said).toMatch(sentence);
    expect(made(world)).toEqual([]);
  });

  it("the date from which a target out of season is possible", async () => {
    const reply = read(await openWorld("2026-06-10T23:00").type("/request M42 clear 20"));
    expect(reply).toMatch(
      /^\[refused\] Not done\nM42 is \d\d° from the Sun, and the limit is 30°; ask again from /,
    );
    expect(reply).toContain(
      "No telescope is ever pointed near the Sun: it destroys cameras, and eyes behind any optics.",
    );
    const later = read(await openWorld("2026-03-20T23:00").type("/request M57 clear 20"));
    expect(later).not.toContain("refused");
    const out = read(await openWorld("2026-05-20T22:00").type("/request M45 clear 20"));
    expect(out).toMatch(/\[refused\].*\n.*(from|possible).* \w{3} \d+ \w{3} 2026/);
  });

  it("a waiting limit, naming what waits and how to make room", async () => {
    const world = openWorld();
    for (const name of ["M31", "M33", "M15", "M45", "M81"]) await world.type(`/request ${name} clear 20`);
    expect(read(await world.type("/request M82 clear 20"))).toContain(
      "You have 5 requests waiting, and 5 at a time is the limit: #1 M31, #2 M33, #3 M15, #4 M45 and #5 M81. Wait for one to run, or type /withdraw 1.",
    );
    expect(made(world)).toHaveLength(5);
  });

  it("the session being closed, for students but not for staff", async () => {
    const world = openWorld();
    await world.type("/session close", quill);
    expect(read(await world.type("/request M31"))).toContain("Your class session is closed");
    expect((await world.type("/request M31", zelda)).tone).not.toBe("refused");
    expect((await world.type("/request M31", quill)).tone).not.toBe("refused");
    await world.type("/session open", quill);
    expect((await world.type("/request M33")).tone).not.toBe("refused");
  });

  it("a session that has run out counts as closed", async () => {
    const world = openWorld();
    await world.type("/session open until 21:00", quill);
    expect((await world.type("/request M31 clear 20")).tone).not.toBe("refused");
    await world.clock.moveTo(local("2026-11-25T21:00"));
    expect(read(await world.type("/request M33 clear 20"))).toContain("Your class session is closed");
    await world.type("/session always", quill);
    expect((await world.type("/request M33 clear 20")).tone).not.toBe("refused");
  });
});

describe("The same frames asked for twice", () => {
  it("by the same person are refused with the number that stands", async () => {
    const world = openWorld();
    await world.type("/request M31 clear 20 3");
    const reply = read(await world.type("/request Andromeda Galaxy clear 20 3"));
    expect(reply).toContain("You already asked for exactly this as #1 M31, and it is waiting.");
    expect(made(world)).toHaveLength(1);
  });

  it("under way for a classmate are offered likewise, unless they were wanted for later", async () => {
    const world = openWorld();
    await world.type("/request M31 clear 20 3", mira);
    await world.happen((_, now) => [
      {
        type: "request.taken",
        number: 1,
        freeUnixMs: now + 120_000,
        altitudeDegrees: 78,
        airmass: 1.02,
        pointingAfter: null,
      },
    ]);
    const reply = await world.type("/request M31 clear 20 3", tomas);
    expect(read(reply)).toContain("The telescope is taking the same for a classmate now: #1 M31");
    expect((await world.press(reply.actions![0]!, tomas)).title).toBe("#1 M31: joined, being observed now");
    expect((await world.type("/request M31 clear 20 3 23:00", noor)).title).toMatch(/^#2 M31/);
  });

  it("by a classmate are offered to be shared, with what that saves, and can be insisted on", async () => {
    const world = openWorld();
    await world.type("/request M31 clear 20 3");
    const offer = await world.type("/request M31 clear 20 3", tomas);
    expect(read(offer)).toContain(
      "A classmate has asked for the same: #1 M31, 3 frames of 20 s, filter clear, by <terminal:mira>. Type /join 1 to get the same frames; that leaves at least 1 min of telescope time for others.",
    );
    expect(offer.actions).toMatchObject([
      { command: "join", options: { request: 1 } },
      {
        command: "request",
        options: { target: "M31", filter: "clear", exposure: 20, frames: 3, anyway: "yes" },
      },
    ]);
    const insisted = await world.press(offer.actions![1]!, tomas);
    expect(insisted.title).toMatch(/^#2 M31/);
    expect(made(world)).toHaveLength(2);
  });

  it("by someone in another class are simply accepted, and nothing is said of the first", async () => {
    const world = openWorld();
    await world.type("/request M31 clear 20 3");
    const reply = read(await world.type("/request M31 clear 20 3", zelda));
    expect(reply).toContain("#2 M31: second in line");
    expect(reply).not.toContain("mira");
  });

  it("once joined, cannot be asked for again", async () => {
    const world = openWorld();
    await world.type("/request M31 clear 20 3");
    await world.type("/join 1", noor);
    expect(read(await world.type("/request M31 clear 20 3", noor))).toContain(
      "You already share exactly this as #1 M31",
    );
  });
});

describe("A call that arrives twice", () => {
  it("makes one request and gets the same answer about it", async () => {
    const world = openWorld();
    const first = await world.use(
      "request",
      { target: "M31", filter: "clear", exposure: 20 },
      mira,
      "call-1",
    );
    const again = await world.use(
      "request",
      { target: "M31", filter: "clear", exposure: 20 },
      mira,
      "call-1",
    );
    expect(read(again)).toBe(read(first));
    expect(made(world)).toHaveLength(1);
  });

  it("after the request has run says so", async () => {
    const world = openWorld();
    await world.use("request", { target: "M31", filter: "clear", exposure: 20 }, mira, "call-1");
    await world.happen(() => [taken(1), { type: "request.completed", number: 1 }]);
    const again = read(
      await world.use("request", { target: "M31", filter: "clear", exposure: 20 }, mira, "call-1"),
    );
    expect(again).toContain("#1 M31: completed");
    expect(made(world)).toHaveLength(1);
  });
});

describe("Form values", () => {
  it("may be numbers", async () => {
    const world = openWorld();
    await world.use("request", { target: "M31", filter: "clear", exposure: 1.5, frames: 2 });
    expect(only(world)).toMatchObject({ exposureSeconds: 1.5, frames: 2 });
  });

  it("may hold the whole wish in the target", async () => {
    const world = openWorld();
    await world.use("request", { target: "M31 R 60 2" });
    expect(only(world)).toMatchObject({ filter: "R", exposureSeconds: 60, frames: 2 });
  });
});

const darkAndOpen = () => [{ type: "equipment.changed", equipment: idle(0).equipment, by: null } as const];
const taken = (number: number) =>
  ({
    type: "request.taken",
    number,
    freeUnixMs: local("2026-11-25T20:02"),
    altitudeDegrees: 78,
    airmass: 1.02,
    pointingAfter: null,
  }) as const;
