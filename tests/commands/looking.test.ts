/** What people look up: tonight, a target, the telescope, suggestions while typing. */
import { describe, expect, it } from "vitest";
import { MINUTE } from "../../src/base/units.js";
import type { Asker } from "../../src/commands/command.js";
import { suggest } from "../../src/commands/read/suggest.js";
import { idle, local, mira, okoro, openWorld, quill, read, text, tomas, type World, zelda } from "./world.js";

describe("/tonight", () => {
  it("gives darkness, Moon, conditions, the queue, and a short list high enough to be worth asking for", async () => {
    const world = openWorld();
    await world.type("/request M31 clear 20");
    const reply = await world.type("/tonight");
    const said = read(reply);
    expect(said).toContain(
      "Tonight, 2026-11-25\nDark now, until 06:40, the Sun being 12° or more below the horizon.",
    );
    expect(said).toMatch(/Moon: waning gibbous, 97 % lit; sets at Thu 26 Nov 10:2\d\./);
    expect(said).toContain("The telescope is idle. Telescope ready, dome shut, camera fitted, sky unknown.");
    expect(said).toMatch(/1 request waits; the last of them that fits tonight is done about 20:0\d\./);
    const heights = reply.table!.rows.map((row) => Number.parseFloat(String(row[2]![0])));
    expect(heights).toHaveLength(6);
    expect(Math.min(...heights)).toBeGreaterThanOrEqual(35);
    const kinds = reply.table!.rows.map((row) => String(row[1]![0]).replace(/.*, /, ""));
    expect(new Set(kinds).size).toBeGreaterThanOrEqual(3);
    expect(reply.picture?.altText).toBeTruthy();
    for (const action of reply.actions!) expect((await world.press(action, tomas)).tone).not.toBe("refused");
  });

  it("by day tells when it gets dark and how things stand then", async () => {
    const said = read(await openWorld("2026-11-25T14:00").type("/tonight"));
    expect(said).toMatch(/Dark from 18:1\d until 06:40/);
    expect(said).toMatch(/Worth asking for, as it stands at 18:1\d:/);
  });

  it("after dawn tells of the next night", async () => {
    const said = read(await openWorld("2026-11-26T08:00").type("/tonight"));
    expect(said).toMatch(/This night's dark hours are over; the next begin 18:1\d\./);
  });

  it("where it never gets dark, says so", async () => {
    const north = openWorld("2026-06-21T23:30", (config) => ({
      ...config,
      observatory: { ...config.observatory, site: { ...config.observatory.site, latitudeDegrees: 62 } },
    }));
    expect(read(await north.type("/tonight"))).toMatch(
      /The Sun stays less than 6° below the horizon tonight; nothing can be observed before Sun 12 Jul/,
    );
  });
});

describe("/target", () => {
  it("gives window, height, airmass, Moon, exposure, brightness and a chart", async () => {
    const reply = await openWorld().type("/target M57");
    expect(read(reply)).toMatch(
      new RegExp(
        [
          String.raw`^\[answer\] Ring Nebula \(M57\), a planetary nebula`,
          String.raw`It can be observed now until 20:5\d, night of 2026-11-25\.`,
          String.raw`It stands at 35° now\.`,
          String.raw`Best: 20:00 at 35°, airmass 1\.75`,
          String.raw`Highest: 15:1\d at 81°`,
          "Moon: 117° away, 97 % lit",
          String.raw`Exposure: \d+ frames? of \d+ s, filter clear: a clean picture, signal to noise about \d+`,
          String.raw`Brightness: magnitude 8\.8, 1\.4′ × 1′, with its faint outer parts 2\.5′ × 1\.6′`,
          "<Ask for M57> /request M57$",
        ].join("\n"),
      ),
    );
    expect(reply.picture).toBeDefined();
  });

  it("of coordinates offers a request for just that position", async () => {
    const world = openWorld();
    const offered = (await world.type("/target 03 40 00 +22 00 00")).actions![0]!;
    expect((await world.press(offered)).title).toMatch(/^#1 Position 03 40 00 \+22 00 00: /);
  });

  it("of another night, typed in one breath or by name", async () => {
    const world = openWorld();
    const said = read(await world.type("/target M31 2027-01-10"));
    expect(said).toMatch(/It can be observed 18:\d\d to \d\d:\d\d, night of 2027-01-10\./);
    expect(read(await world.type("/target M31 date=2027-01-10"))).toBe(said);
    expect(said).not.toContain("now");
  });

  it("that is not possible tells why and from when", async () => {
    expect(read(await openWorld().type("/target M7"))).toContain(
      "M7 never rises above 13° here; the limit is 20°.",
    );
    expect(read(await openWorld("2026-05-20T22:00").type("/target M42"))).toMatch(
      /Not on this night: it is .* It is possible from \w{3} \d+ \w{3} 2026\./,
    );
  });

  it("for the Moon gives its phase instead of a distance", async () => {
    const said = read(await openWorld("2026-11-25T23:00").type("/target moon"));
    expect(said).toMatch(/Phase: waning gibbous, 9\d % lit/);
    expect(said).not.toContain("away");
  });
});

describe("/telescope", () => {
  it("tells what it does, for whom, and that it is simulated", async () => {
    const world = openWorld();
    await world.type("/request M31 clear 20", mira);
    await world.happen((_, now) => [
      {
        type: "request.taken",
        number: 1,
        freeUnixMs: now + 60_000,
        altitudeDegrees: 78,
        airmass: 1,
        pointingAfter: null,
      },
    ]);
    world.status = {
      ...idle(0),
      activity: "exposing",
      requestNumber: 1,
      frame: 1,
      frames: 1,
      exposureSeconds: 20,
      altitudeDegrees: 78.2,
      azimuthDegrees: 85.6,
      domeAzimuthDegrees: 84.1,
    };
    const said = read(await world.type("/telescope"));
    expect(said.match(/The telescope is exposing the frame, 20 s/g)).toHaveLength(1);
    expect(said).not.toContain("That ends");
    expect(said).toContain("It is working on #1 M31.");
    expect(said).toContain("It points to altitude 78°, azimuth 86°, the dome's slit to azimuth 84°.");
    expect(said).toContain("Practice telescope: nothing real moves, and every frame is SIMULATED.");
    expect(read(await world.type("/telescope", zelda))).toContain(
      "It is working on a request from another class.",
    );
    world.status = { ...world.status, untilUnixMs: world.clock.now() + 2 * MINUTE };
    expect(read(await world.type("/telescope"))).toContain("That ends Wed 25 Nov 20:02.");
  });

  it("compares measured times with the configuration", async () => {
    const world = openWorld();
    await world.type("/request M31 clear 20", mira);
    const sample = (component: "dome" | "slew" | "settle", measuredMs: number) => ({
      component,
      configuredMs: 10_000,
      measuredMs,
    });
    expect(read(await world.type("/telescope"))).toContain("Too little has been measured yet");
    await world.happen(() => [
      {
        type: "overheads.measured",
        number: 1,
        samples: [
          sample("dome", 14_000),
          sample("dome", 13_900),
          sample("dome", 900_000),
          sample("slew", 10_100),
          sample("slew", 10_000),
          sample("slew", 9_900),
          ...[16_100, 16_000, 15_900].map((ms) => sample("settle", ms)),
        ],
      },
    ]);
    const said = read(await world.type("/telescope"));
    expect(said).toContain("The dome is running 1.4 × slower than configured (3 measurements).");
    expect(said).toContain("Settling takes 1.6 × as long as configured (3 measurements).");
    expect(said).not.toContain("mount");
  });

  it("counts the measurements that it goes by, not all that were ever taken", async () => {
    const world = openWorld();
    await world.type("/request M31 clear 20", mira);
    const samples = [...Array(20).fill(10_000), ...Array(5).fill(15_000)].map((measuredMs: number) => ({
      component: "dome" as const,
      configuredMs: 10_000,
      measuredMs,
    }));
    await world.happen(() => [{ type: "overheads.measured", number: 1, samples }]);
    const [, lookBack] =
      /dome is running 1\.5 × slower than configured \((\d+) measurements\)/.exec(
        read(await world.type("/telescope")),
      ) ?? [];
    expect(Number(lookBack)).toBeGreaterThanOrEqual(5);
    expect(Number(lookBack)).toBeLessThan(10);
  });
});

describe("Suggestions while typing", () => {
  const labels = (world: World, command: string, option: string, typed: string, asker: Asker = mira) =>
    suggest(command, option, typed, asker, world.services).map((each) => each.label);

  it("of a target not begun yet are what is worth asking for, each with its kind, height and best time", async () => {
    const world = openWorld();
    const found = suggest("request", "target", "", mira, world.services);
    for (const { label } of found.slice(0, 2))
      expect(label).toMatch(/^\S.* · [a-z ]+ · \d\d° up, best (now|\d\d:\d\d)$/);
    const worth = await world.type("/tonight");
    expect(found.slice(0, 6).map(({ value }) => value)).toEqual(
      worth.table?.rows.map(([name]) => text(name ?? [])),
    );
  });

  it("put first what one has asked for lately, then what the class has", async () => {
    const world = openWorld();
    for (const [name, asker] of [
      ["M92", mira],
      ["NGC 7662", tomas],
      ["M15", zelda],
      ["M39", mira],
    ] as const)
      await world.type(`/request ${name} clear 20`, asker);
    const values = suggest("request", "target", "", mira, world.services).map(({ value }) => value);
    expect(values.slice(0, 3)).toEqual(["M39", "M92", "NGC 7662"]);
    expect(new Set(values).size).toBe(values.length);
    expect(labels(world, "request", "target", "m")[0]).toMatch(/^M39/);
    expect(labels(world, "request", "target", "m9")[0]).toMatch(/^M9 /);
  });

  it("allow for a slip from the third letter on", () => {
    const world = openWorld();
    for (const [typed, meant] of [
      ["andromda", "Andromeda Galaxy"],
      ["pleides", "Pleiades"],
      ["jupitr", "Jupiter"],
      ["jpi", "Jupiter"],
      ["vgea", "Vega"],
      ["strun", "Saturn"],
    ] as const)
      expect(labels(world, "request", "target", typed)[0], typed).toMatch(new RegExp(`^${meant}`));
  });

  it("of a constellation's name begin with what in it is worth asking for now", () => {
    expect(labels(openWorld(), "request", "target", "taurus")[0]).toMatch(/^Pleiades/);
  });

  it("put the exact name first, even when it is down", () => {
    const world = openWorld();
    expect(labels(world, "request", "target", "M2")[0]).toMatch(/^M2 · globular cluster · \d\d° up, best /);
    expect(labels(world, "request", "target", "jupiter")[0]).toMatch(
      /^Jupiter · planet · below the horizon, from 01:1\d, best 06:1\d$/,
    );
    expect(labels(world, "request", "target", "M7")[0]).toMatch(
      /\(M7\) · open cluster · \d+° up, not tonight$|below the horizon, not tonight$/,
    );
  });

  it("give a value that the command understands", async () => {
    const world = openWorld("2026-11-25T20:00", (config) => ({
      ...config,
      queue: { ...config.queue, waitingPerPerson: 100 },
    }));
    for (const { value } of suggest("request", "target", "", mira, world.services)) {
      expect((await world.use("request", { target: value })).tone, value).not.toBe("refused");
    }
  });

  it("of requests are one's own, or the class's, never another class's", async () => {
    const world = openWorld();
    await world.type("/request M31 clear 20", mira);
    await world.type("/request M33 clear 20", tomas);
    await world.type("/request M15 clear 20", zelda);
    expect(labels(world, "withdraw", "request", "")).toEqual(["#1 M31 · 1 frame of 20 s, filter clear"]);
    expect(labels(world, "when", "request", "")).toHaveLength(2);
    expect(labels(world, "when", "request", "2")).toEqual(["#2 M33 · 1 frame of 20 s, filter clear"]);
    expect(labels(world, "when", "request", "m31")).toHaveLength(1);
  });

  it("of people, groups, filters, choices, dates and commands fit what was typed and who types", () => {
    const world = openWorld();
    expect(labels(world, "cancel", "person", "mi", quill)).toEqual(["Mira", "Dmitri"]);
    expect(labels(world, "cancel", "person", "", quill)).toHaveLength(25);
    expect(labels(world, "cancel", "person", "zel", quill)).toEqual([]);
    expect(labels(world, "session", "members", "Mira, To", quill)).toEqual(["Mira, Tomas"]);
    expect(labels(world, "session", "members", "mira, mi", quill)).toEqual(["mira, Dmitri"]);
    expect(labels(world, "cancel", "group", "", quill)).toEqual(["Alder", "Birch"]);
    expect(labels(world, "request", "filter", "")).toEqual(["clear", "B", "V", "R", "Hα"]);
    expect(labels(world, "rule", "name", "f", quill)).toEqual([
      "first-come",
      "highest-first",
      "setting-first",
    ]);
    expect(labels(world, "target", "date", "to")).toEqual(["tonight", "tomorrow"]);
    expect(labels(world, "help", "command", "ca", mira)).toEqual([]);
    expect(labels(world, "help", "command", "ca", quill)).toEqual(["cancel"]);
    expect(labels(world, "hold", "reason", "", okoro)).toEqual([]);
  });

  it("are none for an unknown command or option, and never fail", () => {
    const world = openWorld();
    expect(labels(world, "nosuch", "target", "M")).toEqual([]);
    expect(labels(world, "request", "nosuch", "M")).toEqual([]);
    for (const typed of ["\u0000", "☉", "x".repeat(5000), "((((", "05 35", "sun"]) {
      expect(labels(world, "request", "target", typed).length).toBeLessThanOrEqual(25);
    }
  });

  it("fit the platforms' limits", () => {
    const world = openWorld();
    for (const typed of ["", "m", "ngc", "c", "a"]) {
      for (const { label, value } of suggest("request", "target", typed, mira, world.services)) {
        expect(label.length).toBeLessThanOrEqual(100);
        expect(value.length).toBeLessThanOrEqual(100);
      }
    }
  });

  it("by day say from when", () => {
    const world = openWorld("2026-11-25T14:00");
    expect(labels(world, "request", "target", "M31")[0]).toMatch(
      /Andromeda Galaxy \(M31\) · galaxy · 17° up, from 18:1\d, best 21:0\d/,
    );
    expect(local("2026-11-25T14:00")).toBe(world.clock.now());
  });
});

describe("The short list", () => {
  it("where it never gets dark still names what is bright enough for twilight", async () => {
    const world = openWorld("2026-06-21T01:20", (config) => {
      const site = { ...config.observatory.site, latitudeDegrees: 57.5 };
      return { ...config, observatory: { ...config.observatory, site } };
    });
    const reply = read(await world.type("/tonight"));
    expect(reply).toContain("It does not get dark tonight");
    expect(reply).toMatch(/a double star \| \d+°/);
  });

  it("and a refusal there says that it does not get dark enough, not that the target is low", async () => {
    const world = openWorld("2026-06-21T01:20", (config) => {
      const site = { ...config.observatory.site, latitudeDegrees: 57.5 };
      return { ...config, observatory: { ...config.observatory, site } };
    });
    const why = "it does not get dark enough for it. It is possible from ";
    expect(read(await world.type("/request M13"))).toContain(`M13 cannot be observed tonight: ${why}`);
    expect(read(await world.type("/target M13"))).toContain(`Not on this night: ${why}`);
  });

  it("leaves out what is far larger than the camera's field", async () => {
    const reply = read(await openWorld("2026-03-07T20:00").type("/tonight"));
    expect(reply).toContain("M45 | Pleiades");
    expect(reply).not.toContain("Hyades");
  });

  it("of a southern site holds what is best there, whatever catalogue it goes by", async () => {
    const world = openWorld("2026-11-25T21:00", (config) => {
      const site = { ...config.observatory.site, latitudeDegrees: -33.9 };
      return { ...config, observatory: { ...config.observatory, site } };
    });
    expect(read(await world.type("/tonight"))).toContain("NGC 104 | 47 Tucanae, a globular cluster");
  });
});

describe("/target of a star worth a lesson", () => {
  it("tells a variable's next minimum, a pair's separation beside pixels and seeing, a planet's next transit", async () => {
    const world = openWorld();
    expect(read(await world.type("/target Algol"))).toMatch(
      /Variable: an eclipsing pair, magnitude 2\.1 to 3\.4 in 2\.87 days; next minimum about .*\d\d:\d\d/,
    );
    expect(read(await world.type("/target Albireo"))).toContain(
      "Pair: 34.6″ apart, magnitudes 3.2 and 4.7; your pixels are 0.55″ and the seeing 2.4″: they stand clear of one another",
    );
    expect(read(await world.type("/target Zeta Aquarii"))).toContain("they touch");
    expect(read(await world.type("/target HD 189733"))).toMatch(
      /Planet: HD 189733 b hides 2\.4 % of its light for 1 h 48 min; the middle of the next transit is about .*, give or take some minutes/,
    );
    expect(read(await world.type("/target 3C 273"))).toContain("3C 273, a quasar");
  });

  it("places the great moons beside their planet, and offers the planet for a moon's name", async () => {
    const world = openWorld("2026-11-26T04:00");
    expect(read(await world.type("/target Jupiter"))).toMatch(
      /Moons now: (\w+ [\d.]+[″′] (east|west|north|south)(, )?){4}/,
    );
    const refused = await world.type("/target Ganymede");
    expect(refused.tone).toBe("refused");
    expect((await world.press(refused.actions![0]!)).title).toBe("Jupiter");
  });
});
