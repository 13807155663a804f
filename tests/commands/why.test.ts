/** "Why is mine there?": what decided by name and number, in a hold too, and nothing said that does not hold. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Estimate } from "../../src/estimates/forecast-service.js";
import { deciderClause } from "../../src/notices/words/decider.js";
import type { Decider, PlanReason } from "../../src/queue/decider.js";
import { local, mira, noor, okoro, openWorld, quill, read, text, tomas, type World } from "./world.js";

async function twoUpOneLater(): Promise<World> {
  const world = openWorld();
  await world.type("/request M31 clear 20 3", tomas);
  await world.type("/request M15 clear 20 3", noor);
  await world.type("/request M42 clear 20 3", mira);
  return world;
}

describe("/why with two numbers", () => {
  it("says why, naming the other, and when", async () => {
    const world = await twoUpOneLater();
    expect(
      read(await world.type("/why 2 1"))
        .split("\n")
        .slice(0, 3),
    ).toEqual([
      "[answer] #1 M31 runs before #2 M15",
      expect.stringMatching(/^Why: it stands higher then, 78° .* against 4\d° .*\.$/),
      "That will be about 20:00, if all goes to plan.",
    ]);
    expect(read(await world.type("/why 3 1"))).toContain("Why: #3 M42 cannot be observed before 22:12.");
  });

  it("during a hold answers for the night as it would be without it", async () => {
    const world = await twoUpOneLater();
    await world.type("/hold people in the dome", okoro);
    expect(
      read(await world.type("/why 2 1"))
        .split("\n")
        .slice(0, 3),
    ).toEqual([
      "[answer] If the hold were lifted now, #1 M31 would run before #2 M15",
      expect.stringMatching(/^Why: it stands higher then, 78° /),
      "That would be about 20:00.",
    ]);
  });

  it("says that nothing decides only where neither runs, hold or no hold", async () => {
    const world = openWorld();
    for (const name of ["M57", "M13"]) await world.type(`/request ${name} clear 20 1 notbefore=05:00`);
    expect(read(await world.type("/why 1 2"))).toContain("Neither would run tonight, so nothing decides");
    await world.type("/hold cloud", okoro);
    expect(read(await world.type("/why 1 2"))).toContain(
      "Neither would run tonight if the hold were lifted either, so nothing decides between them.",
    );
  });

  it("where people are told the contrary since others may ask, says so", async () => {
    const world = await twoUpOneLater();
    const { forecast } = world.services;
    const told = (number: number): Estimate =>
      ({
        ...forecast.estimate(number),
        startUnixMs: local(`2026-11-25T20:${number === 1 ? 41 : 34}`),
      }) as Estimate;
    const places = new Map([
      [2, 1],
      [1, 2],
    ]);
    Object.assign(world.services, { forecast: { ...forecast, estimate: told, places: () => places } });
    const reply = read(await world.type("/why 1 2"));
    expect(reply).toContain("[answer] If nobody else asks, #1 M31 runs before #2 M15");
    expect(reply).toContain(
      "Allowing for others who may still ask, #2 M15 is expected first, about 20:34 against 20:41.",
    );
  });
});

describe("/why with one number", () => {
  it("heads its times as those of the night if nobody else asks, and says so where the start differs", async () => {
    const world = await twoUpOneLater();
    const plain = read(await world.type("/why 2"));
    expect(plain).toContain("start if nobody else asks | request | height then | what decided");
    expect(plain).not.toContain("the start above allows for both");
    const { forecast } = world.services;
    const later = (number: number): Estimate =>
      ({ ...forecast.estimate(number), startUnixMs: local("2026-11-25T21:31") }) as Estimate;
    Object.assign(world.services, { forecast: { ...forecast, estimate: later } });
    const reply = read(await world.type("/why 2"));
    expect(reply).toContain("Starts about 21:31.");
    expect(reply).toContain(
      "The table is the night as it runs if nobody else asks and nothing goes wrong; the start above allows for both.",
    );
  });

  it("during a hold has its table, as the night would be without it", async () => {
    const world = await twoUpOneLater();
    await world.type("/hold cloud", okoro);
    const reply = await world.type("/why 2");
    expect(reply.table?.columns[0]).toBe("if the hold were lifted now");
    expect(reply.table?.rows).toHaveLength(2);
    expect(read(reply)).toContain("It gets a time when staff resume.");
  });
});

describe("What a request waits for", () => {
  it("its window: until when and why, without a place or a list that holds nothing up", async () => {
    const world = await twoUpOneLater();
    await world.type("/rule first-come", quill);
    const reply = read(await world.type("/when 3"));
    expect(reply.split("\n").slice(0, 3)).toEqual([
      "[answer] #3 M42: waits for its time",
      "Starts about 22:12. It waits until 22:12, when it stands high enough.",
      "Others can run while it waits for 22:12; after that nobody who asks later in the same tier overtakes it, but cloud, a hold or a staff request can delay it.",
    ]);
  });

  it("the time that was asked for, in whose words it concerns", async () => {
    const world = await twoUpOneLater();
    await world.type("/request M31 clear 30 1 notbefore=23:00", mira);
    expect(read(await world.type("/when 4"))).toContain("It waits for 23:00, as you asked.\nOthers can run");
    expect(read(await world.type("/when 4", noor))).toContain("It waits for 23:00, as its owner asked.");
    await world.type("/hold cloud", okoro);
    expect(read(await world.type("/when 4"))).toContain(
      "If the hold were lifted now, it would wait for 23:00, as you asked.",
    );
  });

  it("others, where they hold it up beyond that time", async () => {
    const world = await twoUpOneLater();
    await world.type("/request M31 clear 600 6", tomas);
    await world.type("/request M2 clear 30 1 notbefore=20:05", mira);
    await world.type("/rule first-come", quill);
    const reply = read(await world.type("/when 5"));
    expect(reply).toContain("Before it run #1 M31, #2 M15 and #4 M31.");
    expect(reply).not.toContain("It waits for 20:05");
    expect(reply).toContain("Others can run while it waits for 20:05; after that nobody who asks later");
    await world.type("/rule highest-first", quill);
    expect(read(await world.type("/when 5"))).not.toContain("20:05");
  });
});

describe("What could change it", () => {
  it("promises under first-come that nobody overtakes, only to one that could run now", async () => {
    const world = await twoUpOneLater();
    await world.type("/rule first-come", quill);
    expect(read(await world.type("/when 2"))).toContain(
      "Nobody who asks later in the same tier overtakes it, but cloud, a hold or a staff request can delay it.",
    );
  });

  it("knows nothing that could delay a request of the first tier but cloud and holds", async () => {
    const world = await twoUpOneLater();
    await world.type("/request M33 clear 20 1", quill);
    expect(read(await world.type("/when 4", quill))).toContain("and cloud or a hold can delay it.");
  });

  it("for one whose frames do not fit says what to do", async () => {
    const world = openWorld();
    await world.type("/request M13 clear 600 5");
    const reply = read(await world.type("/when 1"));
    expect(reply).not.toMatch(/overtake|delay/);
    const late = openWorld("2026-11-25T18:19");
    await late.type("/request M13 R 600 5");
    expect(read(await late.type("/when 1"))).toContain(
      "too short for it. It does not fit in the next seven nights either: ask for fewer or shorter frames.",
    );
  });

  it("says of one that is over for tonight only when it comes again", async () => {
    const world = openWorld("2026-11-25T18:19");
    await world.type("/request M57 clear 5 1 notbefore=05:00");
    const reply = read(await world.type("/when 1"));
    expect(reply).toMatch(
      /Not tonight: it cannot be observed after the time that was asked for\. It stays in the queue; its next chance is about Thu 26 Nov 18:\d\d\.\n</,
    );
  });
});

describe("The Moon as the reason", () => {
  const MOON = "too near the Moon all night (5°, at least 10° needed)";

  it("is given where the Moon alone keeps a target from being observed, however low it stands now", async () => {
    const world = openWorld("2026-11-25T18:19");
    expect(read(await world.type("/request M1 clear 60 1"))).toContain(
      `It cannot be observed tonight, but tomorrow night from Thu 26 Nov 20:23: it is ${MOON}.`,
    );
    expect(read(await world.type("/when 1"))).toContain(`Not tonight: it is ${MOON}.`);
    expect(read(await world.type("/target M1"))).toContain(`Not on this night: it is ${MOON}.`);
    await world.type("/request M31 clear 20 1", tomas);
    expect(read(await world.type("/why 1 2"))).toContain(`Why: #1 M1 is ${MOON}.`);
  });
});

describe("Two numbers that decided", () => {
  const near = (from: number, most: number): fc.Arbitrary<[number, number]> =>
    fc
      .tuple(fc.double({ min: from, max: most, noNaN: true }), fc.double({ min: 1e-12, max: 1, noNaN: true }))
      .map(([value, less]) => [value, value - less]);
  const reason = fc.oneof(
    near(1.1, 9).map(([exchanged, planned]): PlanReason => ({ what: "airmass", planned, exchanged })),
    near(10_000, 1e7).map(([otherReadyMs, readyMs]): PlanReason => ({ what: "near", readyMs, otherReadyMs })),
  );
  const decider = fc.oneof(
    near(20, 90).map(
      ([altitudeDegrees, otherAltitudeDegrees]): Decider => ({
        by: "altitude",
        altitudeDegrees,
        otherAltitudeDegrees,
      }),
    ),
    fc
      .tuple(fc.integer({ min: 0, max: 1e7 }), fc.integer({ min: 0, max: 200_000 }))
      .map(([at, later]): Decider => ({ by: "closing", closeUnixMs: at, otherCloseUnixMs: at + later })),
    reason.map((why): Decider => ({ by: "plan", why })),
  );

  it("are never told as the same", () => {
    const context = { tiers: ["staff", "class"], now: 0 };
    let compared = 0;
    fc.assert(
      fc.property(decider, (each) => {
        const words = text(deciderClause(each, context));
        const [, ...pair] = /, (?:at )?(.+) against (.+)$/.exec(words) ?? [];
        const [one, other] = pair.map((number) => number.replace(/ \(.*\)| airmass/, ""));
        compared += one === undefined ? 0 : 1;
        if (one !== undefined) expect(one, words).not.toBe(other);
      }),
      { numRuns: 1_000, seed: 3 },
    );
    expect(compared).toBeGreaterThan(300);
  });
});
