/** A class evening on the platform with the whole product behind it: ask, see it taken, get the frame. */
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { silentLog } from "../../../src/base/log.js";
import { discordSurface } from "../../../src/chat/discord/surface.js";
import { commandTable } from "../../../src/commands/table.js";
import type { Running } from "../../../src/wiring/start.js";
import { eventually } from "../../eventually.js";
import { given } from "./set-up.js";
import { buttonsOf, type Person } from "./stand-in/people.js";
import type { StandIn } from "./stand-in/stand-in.js";
import type { Channel, Guild, StoredMessage } from "./stand-in/world.js";
import { wholeEvening } from "./whole-evening.js";

const SPEED = 600;

describe("a class evening", () => {
  let standIn: StandIn;
  let guild: Guild;
  let channel: Channel;
  let running: Running;
  let mira: Person;
  let quill: Person;
  let end: () => Promise<void>;

  beforeEach(async () => {
    const evening = await wholeEvening(["evening-2"], SPEED);
    ({ standIn, running, end } = evening);
    const [own] = evening.classes;
    ({ guild, channel } = given(own));
    mira = standIn.join(guild, "Mira");
    quill = standIn.join(guild, "Prof. Quill", [given(own).instructorRoleId]);
  });
  afterEach(() => end());

  const message = async (pattern: RegExp): Promise<StoredMessage> => {
    const found = (): StoredMessage | undefined =>
      channel.messages.find((each) => pattern.test(each.content));
    await eventually(() => expect(found(), `a message like ${pattern}`).toBeDefined());
    return given(found());
  };
  const ask = async (who: Person, name: string, typed = {}): Promise<StoredMessage> =>
    given((await who.slash(name, typed).settled).original);

  it("offers every command of the table within the platform's limits", () => {
    expect(guild.commands.map((each) => each.name).sort()).toEqual(
      commandTable.map((each) => each.name).sort(),
    );
  });

  it("goes from a suggestion to a frame with its picture, and the board shows it", async () => {
    const { choices } = await mira.typeInto("request", "target", "m").settled;
    expect(choices?.length).toBeGreaterThan(3);
    const target = String(given(choices?.[0]).value);
    const reply = await ask(mira, "request", { target, exposure: 5, frames: 1 });
    expect(reply.content).toMatch(/#1/);
    expect(reply.content).toMatch(/<t:\d+:t>/);
    const taken = await message(/#1.*(taken|turn|moving)/i);
    expect(taken.mentions).toEqual([mira.userId]);
    const done = await message(/#1 .*done/);
    expect(done.mentions).toEqual([mira.userId]);
    expect(done.attachments[0]?.description).toMatch(/imulated frame/);
    expect(Buffer.from(given(done.attachments[0]).bytes.subarray(1, 4)).toString()).toBe("PNG");
    await message(/Conditions:/);
  });

  it("answers every command a student can give without options", async () => {
    await ask(quill, "hold", { reason: "Cloud" });
    await ask(mira, "request", { target: "M31" });
    for (const name of ["when", "queue", "tonight", "mine", "telescope", "alerts", "help"]) {
      const reply = await ask(mira, name);
      expect(reply.content, name).not.toMatch(/went wrong|Not done/);
    }
    const chart = await ask(mira, "tonight");
    expect(chart.attachments[0]?.description?.length).toBeGreaterThan(20);
    expect(buttonsOf(await ask(mira, "when")).length).toBeGreaterThan(0);
  });

  it("asks again with one press, picture included", async () => {
    for (const [name, typed] of [
      ["tonight", {}],
      ["queue", { scope: "all" }],
      ["target", { name: "M31" }],
    ] as const) {
      const shown = await ask(mira, name, typed);
      const pictures = shown.attachments.length;
      const pressed = await mira.press(shown, "Refresh", { channel }).settled;
      expect(pressed.original, name).toBe(shown);
      expect(shown.content, name).not.toMatch(/✗/);
      expect(shown.attachments.length, name).toBe(pictures);
    }
  });

  it("makes one request of an interaction that is delivered again to a process started later", async () => {
    await ask(quill, "hold", { reason: "Cloud" });
    const asked = mira.slash("request", { target: "M45" });
    await asked.settled;
    const { host } = running;
    const { config } = host.services;
    const later = discordSurface({ config, token: standIn.token, log: silentLog, say: () => {} });
    await later.start(host);
    standIn.gateway.dispatch("INTERACTION_CREATE", asked.payload);
    await eventually(() => expect(asked.refusedAnswers).toBe(1));
    expect(running.services.desk.state.requests.size).toBe(1);
    await later.stop();
  });

  it("offers a classmate's identical request to be joined with one press", async () => {
    await ask(quill, "hold", { reason: "Cloud" });
    await ask(mira, "request", { target: "M45", exposure: 10 });
    const tomas = standIn.join(guild, "Tomas");
    const offered = await ask(tomas, "request", { target: "M45", exposure: 10 });
    const join = given(buttonsOf(offered).find((each) => /join/i.test(each.label ?? "")));
    const joined = await tomas.press(offered, given(join.label), { channel }).settled;
    expect(given(joined.original).content).toMatch(/✓.*#1/);
    expect([...running.services.desk.state.requests.values()][0]?.sharers).toEqual([
      `discord:${tomas.userId}`,
    ]);
  });

  it("lets the instructor cancel everything with one announcement, and a student not", async () => {
    await ask(quill, "hold", { reason: "Cloud" });
    const students = Array.from({ length: 12 }, (_, index) => standIn.join(guild, `Student ${index}`));
    for (const [index, student] of students.entries())
      await ask(student, "request", { target: "M45", exposure: 10 + index });
    expect(mira.offered().map((each) => each.name)).not.toContain("cancel");
    const refused = await mira.slashRaw("cancel", [
      { name: "reason", type: 3, value: "Fun" },
      { name: "all", type: 3, value: "yes" },
    ]).settled;
    expect(given(refused.original).content).toMatch(/✗/);
    const cancel = guild.commands.find((each) => each.name === "cancel");
    const all = given(cancel?.options?.find((each) => each.name === "all")) as {
      choices: { value: string }[];
    };
    await ask(quill, "cancel", { reason: "Cloud all night", all: given(all.choices[0]).value });
    const announced = await message(/requests cancelled/);
    expect(announced.mentions.sort()).toEqual(students.map((each) => each.userId).sort());
  });
});
