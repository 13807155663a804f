/** From each event, who is told what, where and how loudly. */
import { describe, expect, test } from "vitest";
import { MINUTE } from "../../src/base/units.js";
import { type Config, configSchema } from "../../src/config/config.js";
import type { NightslateEvent } from "../../src/journal/events.js";
import {
  EVENING,
  EVENING_CHANNEL,
  MORNING,
  MORNING_CHANNEL,
  readNotice,
  Scene,
  twoClasses,
  usable,
} from "./scene.js";

const cancelled = (numbers: number[], by: string): NightslateEvent => ({
  type: "requests.cancelled",
  cancelId: "c1",
  numbers,
  reason: "cloud until morning",
  by,
});

describe("people of a request", () => {
  test("the owner and everyone who joined hear of it in one post", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    const tomas = await scene.join("tomas");
    const number = await scene.ask(mira);
    await scene.happen({ type: "request.joined", number, personId: tomas });
    const [notice, ...others] = await scene.take(number);
    expect(others).toEqual([]);
    expect(notice).toMatchObject({ kind: "taken", to: EVENING_CHANNEL, audience: "class", quiet: false });
    expect(notice?.people).toEqual([mira, tomas]);
  });

  test("a direct message goes to one person alone, in the same moment as the channel post to the others", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    const tomas = await scene.join("tomas");
    await scene.choose(tomas, "direct");
    const number = await scene.ask(mira);
    await scene.happen({ type: "request.joined", number, personId: tomas });
    const notices = await scene.take(number);
    expect(notices.map(({ audience, people }) => [audience, people])).toEqual([
      ["class", [mira]],
      ["person", [tomas]],
    ]);
  });

  test("who chose silence is told without sound, apart from who wants to hear", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    const tomas = await scene.join("tomas");
    await scene.choose(tomas, "silent");
    const number = await scene.ask(mira);
    await scene.happen({ type: "request.joined", number, personId: tomas });
    const notices = await scene.take(number);
    expect(notices.map(({ quiet, people }) => [quiet, people])).toEqual([
      [false, [mira]],
      [true, [tomas]],
    ]);
    expect(new Set(notices.map(({ key }) => key)).size).toBe(2);
  });

  test("who waits for the morning is told nothing at once", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    await scene.choose(mira, "morning");
    expect(await scene.complete(await scene.ask(mira), [usable])).toEqual([]);
  });

  test.each([
    ["22:59 local", Date.UTC(2026, 10, 26, 4, 59), false],
    ["23:00 local", Date.UTC(2026, 10, 26, 5, 0), true],
    ["07:59 local", Date.UTC(2026, 10, 26, 13, 59), true],
    ["08:00 local", Date.UTC(2026, 10, 26, 14, 0), false],
  ])("the usual quiet hours at %s", async (_, nowUnixMs, quiet) => {
    const scene = new Scene(nowUnixMs);
    const number = await scene.ask(await scene.join("mira"));
    expect((await scene.take(number))[0]?.quiet).toBe(quiet);
  });

  test("a person's own quiet hours go before the usual ones, also when there are none", async () => {
    const scene = new Scene(Date.UTC(2026, 10, 26, 5, 30));
    const mira = await scene.join("mira");
    const tomas = await scene.join("tomas");
    await scene.choose(mira, "mention");
    await scene.choose(tomas, "direct", "23:15", "23:45");
    const number = await scene.ask(mira);
    await scene.happen({ type: "request.joined", number, personId: tomas });
    expect((await scene.take(number)).map(({ quiet }) => quiet)).toEqual([false, true]);
  });

  test("someone whose home is unknown is told where they asked", async () => {
    const scene = new Scene();
    const number = await scene.ask("hall:stranger");
    expect((await scene.take(number))[0]).toMatchObject({ to: EVENING_CHANNEL, people: ["hall:stranger"] });
  });

  test("withdrawing is told only to those who had joined", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    const tomas = await scene.join("tomas");
    const number = await scene.ask(mira);
    expect(await scene.happen({ type: "request.withdrawn", number })).toEqual([]);
    const shared = await scene.ask(mira);
    await scene.happen({ type: "request.joined", number: shared, personId: tomas });
    const [notice] = await scene.happen({ type: "request.withdrawn", number: shared });
    expect(notice?.people).toEqual([tomas]);
  });

  test("who inherits a request is told that it is theirs", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    const tomas = await scene.join("tomas");
    const number = await scene.ask(mira);
    await scene.happen({ type: "request.joined", number, personId: tomas });
    const [notice] = await scene.happen({ type: "request.left", number, personId: mira });
    expect(notice?.people).toEqual([tomas]);
    expect(notice?.title).toContain("now yours");
  });

  test("nobody is told when one of several leaves a request that stays its owner's", async () => {
    const scene = new Scene();
    const number = await scene.ask(await scene.join("mira"));
    const tomas = await scene.join("tomas");
    await scene.happen({ type: "request.joined", number, personId: tomas });
    expect(await scene.happen({ type: "request.left", number, personId: tomas })).toEqual([]);
  });

  test("all moves of one moment are one post for a channel, with everyone concerned", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    const tomas = await scene.join("tomas");
    const numbers = [await scene.ask(mira), await scene.ask(mira), await scene.ask(tomas)];
    const fromUnixMs = scene.clock.now() + 30 * MINUTE;
    const moves = numbers.map((number) => ({
      number,
      fromUnixMs,
      startUnixMs: fromUnixMs + 20 * MINUTE,
      because: null,
    }));
    await scene.happen({
      type: "estimates.told",
      estimates: numbers.map((number) => ({ number, startUnixMs: fromUnixMs })),
    });
    const notices = await scene.happen({ type: "estimates.moved", moves });
    expect(notices).toHaveLength(1);
    expect(notices[0]?.people).toEqual([mira, tomas]);
    expect(notices[0]?.lines).toHaveLength(3);
  });
});

describe("someone in two classes", () => {
  const inBoth = async (): Promise<{ scene: Scene; mira: string; number: number }> => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    const number = await scene.ask(mira);
    await scene.join("mira", MORNING);
    return { scene, mira, number };
  };

  test("hears of a request in the class it was asked in, whichever they were in last", async () => {
    const { scene, mira, number } = await inBoth();
    const quill = await scene.join("quill", EVENING, "instructor");
    const notices = [
      ...(await scene.happen(cancelled([number], quill))),
      ...(await scene.happen({ type: "cancel.undone", cancelId: "c1", numbers: [number], by: quill })),
      ...(await scene.take(number)),
    ];
    expect(notices).toHaveLength(3);
    for (const notice of notices)
      expect(notice).toMatchObject({ to: EVENING_CHANNEL, classId: EVENING, people: [mira] });
  });

  test("hears of moves in each class apart", async () => {
    const { scene, mira, number } = await inBoth();
    const other = await scene.ask(mira);
    const numbers = [number, other];
    const fromUnixMs = scene.clock.now() + 30 * MINUTE;
    await scene.happen({
      type: "estimates.told",
      estimates: numbers.map((each) => ({ number: each, startUnixMs: fromUnixMs })),
    });
    const notices = await scene.happen({
      type: "estimates.moved",
      moves: numbers.map((each) => ({
        number: each,
        fromUnixMs,
        startUnixMs: fromUnixMs + 20 * MINUTE,
        because: null,
      })),
    });
    expect(notices.map(({ to, lines }) => [to, lines.length])).toEqual([
      [EVENING_CHANNEL, 1],
      [MORNING_CHANNEL, 1],
    ]);
    expect(readNotice(notices[0]!)).not.toContain(`#${other} `);
    expect(new Set(notices.map(({ key }) => key)).size).toBe(2);
  });

  test("is counted among both when a whole class is told", async () => {
    const { scene } = await inBoth();
    const hold = { reason: "cloud", by: "hall:quill", sinceUnixMs: scene.clock.now(), untilUnixMs: null };
    const notices = await scene.happen({ type: "hold.placed", hold });
    expect(notices.map(({ to }) => to)).toEqual([EVENING_CHANNEL, MORNING_CHANNEL]);
  });
});

describe("a class with a channel in the configuration", () => {
  const channelId = "234567890123456789";
  const configured = (): Config => {
    const config = twoClasses();
    const place = { guildId: "123456789012345678", channelId, classId: MORNING };
    return configSchema.parse({ ...config, discord: { guilds: [place] } });
  };

  test("is told what concerns all, though nobody of it has spoken yet", async () => {
    const scene = new Scene(undefined, configured());
    await scene.join("mira");
    const hold = { reason: "cloud", by: "hall:quill", sinceUnixMs: scene.clock.now(), untilUnixMs: null };
    const notices = await scene.happen({ type: "hold.placed", hold });
    expect(notices.map(({ to, classId }) => [classId, to])).toEqual([
      [EVENING, EVENING_CHANNEL],
      [MORNING, { surface: "discord", channel: channelId }],
    ]);
  });

  test("is told there, also when its people are at home in a channel it has left", async () => {
    const scene = new Scene(undefined, configured());
    const home = { surface: "discord", channel: "999999999999999999" };
    const otis = await scene.join("otis", MORNING, "student", home);
    const [taken] = await scene.take(await scene.ask(otis));
    expect(taken).toMatchObject({ to: { surface: "discord", channel: channelId }, people: [otis] });
    const told = await scene.happen({
      type: "announcement.made",
      classId: MORNING,
      text: "Hello.",
      by: otis,
    });
    expect(told.map(({ to }) => to.channel)).toEqual([channelId]);
  });
});

describe("cancelling", () => {
  test("sixty requests are one announcement that names everyone concerned", async () => {
    const scene = new Scene();
    const quill = await scene.join("quill", EVENING, "instructor");
    const people: string[] = [];
    for (let index = 0; index < 60; index++) people.push(await scene.join(`student${index}`));
    const numbers: number[] = [];
    for (const each of people) numbers.push(await scene.ask(each));
    const notices = await scene.happen(cancelled(numbers, quill));
    expect(notices).toHaveLength(1);
    expect(notices[0]).toMatchObject({
      kind: "cancelled",
      audience: "class",
      to: EVENING_CHANNEL,
      quiet: false,
    });
    expect(notices[0]?.people).toEqual(people);
    expect(readNotice(notices[0]!)).toContain("#1–#60");
  });

  test("each class hears of its own requests only, and of the other's staff only as staff", async () => {
    const scene = new Scene();
    const quill = await scene.join("quill", EVENING, "instructor");
    const mira = await scene.join("mira");
    const otis = await scene.join("otis", MORNING);
    const numbers = [await scene.ask(mira), await scene.ask(otis)];
    const notices = await scene.happen(cancelled(numbers, quill));
    expect(notices.map(({ to, classId, people }) => ({ to, classId, people }))).toEqual([
      { to: EVENING_CHANNEL, classId: EVENING, people: [mira] },
      { to: MORNING_CHANNEL, classId: MORNING, people: [otis] },
    ]);
    const [own, other] = notices.map(readNotice);
    expect(own).toContain(`<${quill}>`);
    expect(other).toContain("Decided by staff");
    expect(other).not.toContain(quill);
    expect(other).not.toContain("#1");
  });

  test("those who wait for the morning hear of it at once, but without sound", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    await scene.choose(mira, "morning");
    const [notice] = await scene.happen(cancelled([await scene.ask(mira)], mira));
    expect(notice).toMatchObject({ kind: "cancelled", quiet: true, people: [mira] });
  });

  test("an announcement makes a sound as soon as one of those concerned wants it", async () => {
    const scene = new Scene();
    const [mira, tomas] = [await scene.join("mira"), await scene.join("tomas")];
    await scene.choose(mira, "silent");
    const numbers = [await scene.ask(tomas), await scene.ask(mira)];
    const notices = await scene.happen(cancelled(numbers, "hall:quill"));
    expect(notices.map(({ quiet, people }) => [quiet, people])).toEqual([[false, [tomas, mira]]]);
  });

  test("who sleeps is not rung with those who want to hear, and gets a post without sound", async () => {
    const scene = new Scene(Date.UTC(2026, 10, 26, 5, 30));
    const people = [await scene.join("mira"), await scene.join("tomas"), await scene.join("ines")];
    const [mira, tomas, ines] = people as [string, string, string];
    await scene.choose(tomas, "mention");
    await scene.choose(ines, "silent");
    const numbers = [await scene.ask(mira), await scene.ask(tomas), await scene.ask(ines)];
    const notices = await scene.happen(cancelled(numbers, "hall:quill"));
    expect(notices.map(({ quiet, people: told }) => [quiet, told])).toEqual([
      [true, [mira]],
      [false, [tomas, ines]],
    ]);
    expect(readNotice(notices[0]!)).toContain("#1 ");
  });

  test("when all sleep it is one post without sound", async () => {
    const scene = new Scene(Date.UTC(2026, 10, 26, 5, 30));
    const [mira, tomas] = [await scene.join("mira"), await scene.join("tomas")];
    await scene.choose(tomas, "silent");
    const numbers = [await scene.ask(mira), await scene.ask(tomas)];
    const notices = await scene.happen(cancelled(numbers, "hall:quill"));
    expect(notices.map(({ quiet, people }) => [quiet, people])).toEqual([[true, [mira, tomas]]]);
  });

  test("one person who chose direct messages gets one", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    await scene.choose(mira, "direct");
    const notices = await scene.happen(
      cancelled([await scene.ask(mira), await scene.ask(mira)], "hall:quill"),
    );
    expect(notices.map(({ audience }) => audience)).toEqual(["person"]);
  });

  test("undoing tells the same people", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    const numbers = [await scene.ask(mira), await scene.ask(mira)];
    await scene.happen(cancelled(numbers, mira));
    const [notice] = await scene.happen({ type: "cancel.undone", cancelId: "c1", numbers, by: mira });
    expect(notice).toMatchObject({ kind: "restored", people: [mira] });
  });
});

describe("whole classes", () => {
  test("a hold is told once in every channel of every class", async () => {
    const scene = new Scene();
    const quill = await scene.join("quill", EVENING, "instructor");
    await scene.join("mira");
    await scene.join("tomas", EVENING, "student", { surface: "yard", channel: "a" });
    await scene.join("otis", MORNING);
    const hold = {
      reason: "people in the dome",
      by: quill,
      sinceUnixMs: scene.clock.now(),
      untilUnixMs: null,
    };
    const notices = await scene.happen({ type: "hold.placed", hold });
    expect(notices.map(({ to, classId }) => `${classId} ${to.surface}/${to.channel}`)).toEqual([
      "evening-2 hall/evening",
      "evening-2 yard/a",
      "morning-1 hall/morning",
    ]);
    expect(readNotice(notices[2]!)).not.toContain("quill");
    for (const notice of notices) expect(notice.people).toEqual([]);
  });

  test("an announcement and a session stay within their class", async () => {
    const scene = new Scene();
    const quill = await scene.join("quill", EVENING, "instructor");
    await scene.join("otis", MORNING);
    const told = [
      ...(await scene.happen({
        type: "announcement.made",
        classId: EVENING,
        text: "Bring gloves.",
        by: quill,
      })),
      ...(await scene.happen({ type: "session.opened", classId: EVENING, by: quill, untilUnixMs: null })),
      ...(await scene.happen({ type: "session.closed", classId: EVENING, by: null })),
    ];
    expect(told.map(({ kind, classId }) => [kind, classId])).toEqual([
      ["announcement", EVENING],
      ["session", EVENING],
      ["session", EVENING],
    ]);
  });

  test("a camera that goes is told, a dome that opens and a cloud are not", async () => {
    const scene = new Scene();
    await scene.join("mira");
    const { equipment } = scene.desk.state;
    const change = (changed: object) =>
      scene.happen({
        type: "equipment.changed",
        equipment: { ...scene.desk.state.equipment, ...changed },
        by: null,
      });
    expect(equipment.dome).toBe("shut");
    expect(await change({ dome: "open" })).toEqual([]);
    expect(await change({ sky: "cloud" })).toEqual([]);
    expect(await change({ camera: "away" })).toHaveLength(1);
    expect(await change({ dome: "fault" })).toHaveLength(1);
    expect(await change({ dome: "shut", telescope: "fault" })).toHaveLength(1);
  });

  test("a dome that staff shut or open is told, with what it means for frames", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    const change = (dome: "open" | "shut", by: string | null) =>
      scene.happen({
        type: "equipment.changed",
        equipment: { ...scene.desk.state.equipment, dome },
        by,
      });
    await change("open", null);
    const [shut, ...others] = await change("shut", mira);
    expect(shut?.title).toBe("Dome shut");
    expect(others).toEqual([]);
    const [open] = await change("open", mira);
    expect(open?.title).toBe("Dome open");
    expect(await change("shut", null)).toEqual([]);
  });

  test("at dusk only classes with requests or a session are told", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    await scene.join("otis", MORNING);
    const dusk = { type: "dusk.noted", date: "2026-11-25" } as const;
    expect(await scene.happen(dusk)).toEqual([]);
    await scene.ask(mira);
    expect((await scene.happen(dusk)).map(({ classId }) => classId)).toEqual([EVENING]);
  });
});

describe("keys", () => {
  test("name entry, kind and audience, and differ within an entry", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    const [taken] = await scene.take(await scene.ask(mira));
    expect(taken?.key).toBe(`${scene.desk.state.lastEntryId}:taken:hall:mira`);
    const notices = await scene.happen(
      { type: "announcement.made", classId: EVENING, text: "One.", by: mira },
      { type: "announcement.made", classId: EVENING, text: "Two.", by: mira },
    );
    expect(new Set(notices.map(({ key }) => key)).size).toBe(2);
  });
});
