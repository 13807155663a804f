/** What people do with what they and their classmates asked for: withdraw, join, look, forget. */
import { describe, expect, it } from "vitest";
import { suggest } from "../../src/commands/read/suggest.js";
import { mira, noor, okoro, openWorld, quill, read, tomas, type World, zelda } from "./world.js";

const request = (world: World, number: number) => world.services.desk.state.requests.get(number)!;
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

async function withM31(): Promise<World> {
  const world = openWorld();
  await world.type("/request M31 clear 20 3", mira);
  return world;
}

describe("/join and /mine", () => {
  it("of a number that does not exist points to the queue, whatever one has oneself", async () => {
    const world = await withM31();
    expect(read(await world.type("/join 9"))).toContain("There is no request #9; /queue shows the numbers.");
    expect(read(await world.type("/when 9"))).toContain("There is no request #9. Yours: #1 M31.");
  });

  it("of one that has no turn tonight is marked as a warning, during a hold as done", async () => {
    const world = openWorld("2026-11-25T23:00");
    await world.type("/request M57 clear 20 3", mira);
    expect(await world.type("/join 1", tomas)).toMatchObject({
      tone: "warning",
      title: "#1 M57: joined, no turn tonight",
    });
    await world.type("/hold cloud", okoro);
    expect((await world.type("/join 1", noor)).tone).toBe("done");
  });

  it("count what waits, what is under way and what is over", async () => {
    const world = await withM31();
    const title = async () => (await world.type("/mine")).title;
    expect(await title()).toBe("1 request waiting, none finished yet");
    await world.type("/request M33 clear 20");
    await take(world, 1);
    expect(await title()).toBe("1 request under way and 1 waiting, none finished yet");
    await world.happen(() => [{ type: "request.completed", number: 1 }]);
    await world.type("/withdraw 2");
    expect(await title()).toBe("Nothing still to come; 2 over");
  });
});

describe("/withdraw", () => {
  it("takes one's own request out of the queue", async () => {
    const world = await withM31();
    expect(read(await world.type("/withdraw 1"))).toBe(
      "[done] #1 M31: withdrawn\nIt is out of the queue. Ask again with /request when you like.",
    );
    expect(request(world, 1).state).toBe("withdrawn");
  });

  it("of a shared request leaves it to the classmates, with its number and time", async () => {
    const world = await withM31();
    await world.type("/join 1", tomas);
    const reply = read(await world.type("/withdraw 1", mira));
    expect(reply).toContain(
      "#1 M31: you are out\nIt goes on for the 1 classmate who shares it; nobody loses a place.",
    );
    expect(request(world, 1)).toMatchObject({ state: "waiting", owner: tomas.id, sharers: [] });
  });

  it("of a shared request is possible while it is observed: it stops only when the last one leaves", async () => {
    const world = await withM31();
    await world.type("/join 1", tomas);
    await take(world, 1);
    const joined = await world.type("/join 1", noor);
    expect(read(joined)).toContain("<Leave it> /withdraw 1");
    expect(read(await world.type("/withdraw 1", noor))).toContain("#1 M31: you are out");
    expect(read(await world.type("/withdraw 1", mira))).toContain("#1 M31: you are out");
    expect(request(world, 1)).toMatchObject({ state: "taken", owner: tomas.id, sharers: [] });
    expect(read(await world.type("/withdraw 1", tomas))).toContain(
      "It was being observed and is stopped now.",
    );
    expect(world.services.desk.state).toMatchObject({ taken: null, stopping: { number: 1, reason: null } });
  });

  it("without a number lists one's own, as buttons too, and withdraws nothing", async () => {
    const world = await withM31();
    const reply = await world.type("cancel mine");
    expect(read(reply)).toContain("Which request? Yours: #1 M31. Type /withdraw 1, for example.");
    expect(reply.actions).toEqual([
      { command: "withdraw", options: { request: 1 }, label: "withdraw #1", onlyFor: mira.id },
    ]);
    expect(read(await world.type("/withdraw", tomas))).toContain(
      "You have no request waiting. Ask for one with /request M13.",
    );
    expect(request(world, 1).state).toBe("waiting");
  });

  it("refuses another's request without saying whose it is, and one that is over", async () => {
    const world = await withM31();
    const foreign = read(await world.type("/withdraw 1", tomas));
    expect(foreign).toContain("#1 is not yours, so it cannot be withdrawn by you. Type /mine to see yours.");
    expect(foreign).not.toMatch(/mira/i);
    await take(world, 1);
    await world.happen(() => [{ type: "request.completed", number: 1 }]);
    expect(read(await world.type("/withdraw 1"))).toContain(
      "#1 M31 is completed already, so there is nothing to withdraw.",
    );
  });

  it("arriving twice is answered twice and happens once", async () => {
    const world = await withM31();
    const first = await world.use("withdraw", { request: 1 }, mira, "call-2");
    expect(read(await world.use("withdraw", { request: 1 }, mira, "call-2"))).toBe(read(first));
  });
});

describe("/join", () => {
  it("shares a classmate's request", async () => {
    const world = await withM31();
    const reply = read(await world.type("/join 1", noor));
    expect(reply).toContain(
      "[done] #1 M31: joined, next in line\nStarts about 20:00.\n3 frames of 20 s, filter clear, shared with <terminal:mira>.",
    );
    expect(request(world, 1).sharers).toEqual([noor.id]);
  });

  it("refuses one's own, one that is over, and another class's", async () => {
    const world = await withM31();
    expect(read(await world.type("/join 1", mira))).toContain(
      "#1 M31 is yours already; /when 1 tells when it runs.",
    );
    expect(read(await world.type("/join 1", zelda))).toContain(
      "#1 belongs to another class and cannot be joined.",
    );
    await world.type("/withdraw 1");
    expect(read(await world.type("/join 1", noor))).toContain(
      "#1 M31 is withdrawn, so it cannot be joined. Ask for your own with /request M31.",
    );
  });
});

describe("/mine", () => {
  it("shows what is to come and what became of the rest", async () => {
    const world = await withM31();
    await world.type("/request M33 clear 20", mira);
    await world.type("/request M15 clear 20", tomas);
    await world.type("/join 3", mira);
    await world.type("/cancel 2 cloud", quill);
    const reply = read(await world.type("/mine"));
    expect(reply).toContain("[answer] 2 requests waiting, 1 over");
    expect(reply).toContain("#1 M31 | 3 frames of 20 s, filter clear | Starts about 20:00. | ");
    expect(reply).toContain("#3 M15 (joined) | ");
    expect(reply).toContain("#2 M33 | 1 frame of 20 s, filter clear | cancelled 20:00: cloud | ");
  });

  it("with nothing asked says how to ask", async () => {
    expect(read(await openWorld().type("/mine"))).toBe(
      "[answer] You have asked for nothing yet\nAsk for a frame with /request M13; /tonight lists what is up.",
    );
  });
});

describe("/queue", () => {
  it("gives the run order with the reader's own marked by row and word, and a chart", async () => {
    const world = await withM31();
    await world.type("/request M33 clear 20", tomas);
    const reply = await world.type("/queue", tomas);
    expect(read(reply)).toBe(
      [
        "[answer] 2 requests waiting",
        "Ordered by the rule highest-first, tier by tier. Yours is marked.",
        "place | start | request | height | who",
        "  1 | 20:00 | #1 M31 | 78° | <terminal:mira> (Alder)",
        "▸ 2 | 20:02 | #2 M33 | 64° | you",
      ].join("\n"),
    );
    expect(reply.picture?.altText).not.toBe("");
  });

  it("shows other classes' requests only as a count, never a name", async () => {
    const world = await withM31();
    await world.type("/request M15 clear 20", zelda);
    await world.type("/request M57 clear 20", zelda);
    const reply = read(await world.type("/queue"));
    expect(reply).toContain("2 of those in the queue are from another class.");
    expect(reply).toContain("2 | 20:02 | 2 from other classes |  | ");
    expect(reply).not.toMatch(/zelda|M15|M57/i);
  });

  it("can show one's group or oneself alone", async () => {
    const world = await withM31();
    await world.type("/request M33 clear 20", tomas);
    await world.type("/request M15 clear 20", noor);
    expect(read(await world.type("/queue group", tomas))).toContain("2 requests of your group waiting");
    expect(read(await world.type("/queue mine", noor))).toContain("1 request of yours waiting");
    expect(read(await world.type("/queue theirs"))).toContain(
      '"theirs" is not possible here; the scope can be all, group or mine.',
    );
  });

  it("keeps to a length that can be read, own rows always included", async () => {
    const world = openWorld("2026-11-25T20:00", (config) => ({
      ...config,
      queue: { ...config.queue, waitingPerPerson: 100 },
    }));
    for (let seconds = 1; seconds <= 30; seconds++) await world.type(`/request M31 clear ${seconds}`, tomas);
    await world.type("/request M57 clear 20", mira);
    const reply = await world.type("/queue");
    expect(reply.table?.rows).toHaveLength(17);
    expect(read(reply)).toContain("▸ 31 | ");
    expect(read(reply)).toContain("… |  | 15 more |  | ");
  });

  it("during a hold shows that nothing has a start", async () => {
    const world = await withM31();
    await world.type("/hold cloud", okoro);
    const reply = read(await world.type("/queue"));
    expect(reply).toContain("On hold until staff resume; no new request is taken. Reason: cloud.");
    expect(reply).toContain("▸ – | waits | #1 M31 |  | you");
  });

  it("empty says so", async () => {
    expect(read(await openWorld().type("/queue"))).toBe(
      "[answer] No requests waiting\nNothing is waiting: ask with /request M13.",
    );
  });

  it("still answers when the chart cannot be drawn", async () => {
    const world = await withM31();
    Object.assign(world.services.pictures, { queue: () => Promise.reject(new Error("no fonts")) });
    const reply = await world.type("/queue");
    expect(reply.picture).toBeUndefined();
    expect(reply.table?.rows).toHaveLength(1);
    expect(world.faults).toHaveLength(1);
  });
});

describe("/forget", () => {
  it("first says what goes and what stays, and does nothing", async () => {
    const world = await withM31();
    const reply = await world.type("/forget");
    expect(read(reply)).toContain(
      "1 request of yours is withdrawn; those that classmates share go on for them.",
    );
    expect(read(reply)).toContain("What stays, without your name, is the record of requests");
    expect(reply.actions?.[0]).toMatchObject({ command: "forget", options: { confirm: "yes" } });
    expect(world.services.desk.state.people.get(mira.id)?.name).toBe("Mira");
  });

  it("confirmed, removes the name, leaves what is shared and withdraws what is not", async () => {
    const world = await withM31();
    await world.type("/request M33 clear 20", mira);
    await world.type("/join 1", tomas);
    await world.type("/request M15 clear 20", tomas);
    await world.type("/join 3", mira);
    const reply = read(await world.type("/forget confirm"));
    expect(reply).toContain("[done] Forgotten");
    expect(world.services.desk.state.people.get(mira.id)?.name).toBe("someone");
    expect([1, 2, 3].map((number) => request(world, number).state)).toEqual([
      "waiting",
      "withdrawn",
      "waiting",
    ]);
    expect(request(world, 1).owner).toBe(tomas.id);
    expect(request(world, 3).sharers).toEqual([]);
  });
});

describe("/alerts", () => {
  it("shows, sets, and keeps what was not mentioned", async () => {
    const world = openWorld();
    expect(read(await world.type("/alerts"))).toContain(
      "You are told here in the log; classmates see its heading\nFrom 23:00 to 08:00 at the observatory nothing makes a sound.",
    );
    await world.type("/alerts direct 22-7:30");
    expect(world.services.desk.state.alerts.get(mira.id)).toEqual({
      how: "direct",
      quietFrom: "22:00",
      quietUntil: "07:30",
    });
    expect(read(await world.type("/alerts quiet=off"))).toContain(
      "You are told here in the log, and nobody else\nThere are no quiet hours.",
    );
    expect(world.services.desk.state.alerts.get(mira.id)?.how).toBe("direct");
  });

  it("speaks of what the surface has", async () => {
    const world = openWorld();
    const { actions } = await world.type("/alerts");
    expect(actions?.map(({ label }) => label)).toEqual([
      "In the log, for me alone",
      "Without sound",
      "Morning summary",
    ]);
    const labelsFor = (asker: typeof mira) =>
      suggest("alerts", "how", "", asker, world.services).map(({ label, value }) => `${value}: ${label}`);
    expect(labelsFor(mira)).toContain("direct: In the log, for me alone");
    expect(labelsFor({ ...mira, id: "discord:1" })).toContain("direct: Direct message");
  });

  it.each(["25:00-7", "22:00", "8-8", "always"])("refuses quiet hours “%s”", async (quiet) => {
    expect(read(await openWorld().use("alerts", { quiet }))).toContain(
      `"${quiet}" cannot be read as quiet hours: give two times such as 23:00-07:30, or off.`,
    );
  });
});
