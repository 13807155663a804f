/** Two classes in one server: who types where is of which class. */
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { given, plainReply, type SetUp, setUp } from "../set-up.js";
import type { Interaction } from "../stand-in/interactions.js";
import type { Person } from "../stand-in/people.js";
import type { Channel } from "../stand-in/world.js";

describe("two classes in one server", () => {
  let here: SetUp;
  let wren: Person;
  let evening: Channel;
  let morning: Channel;
  let random: Channel;
  beforeEach(async () => {
    here = await setUp({ classIds: ["evening-2", "morning-1"], inOneServer: true });
    const [first, second] = [given(here.classes[0]), given(here.classes[1])];
    wren = here.standIn.join(first.guild, "wren");
    [evening, morning] = [first.channel, second.channel];
    random = here.standIn.world.addChannel(first.guild, "random");
  });
  afterEach(() => here.stop());

  const said = async (interaction: Interaction): Promise<string> =>
    given((await interaction.settled).original).content;
  const lastClass = (): string | undefined => here.host.calls.at(-1)?.asker.classId;

  it("are told apart by the channel", async () => {
    await said(wren.slash("when", {}, { channel: morning }));
    expect(here.host.calls.at(-1)).toMatchObject({
      asker: { classId: "morning-1" },
      from: { channel: morning.id },
    });
    await said(wren.slash("when", {}, { channel: evening }));
    expect(lastClass()).toBe("evening-2");
  });

  it("are told apart in a thread by the channel that it hangs on", async () => {
    const thread = here.standIn.world.addThread(morning, "What is M13?");
    await said(wren.slash("when", {}, { channel: thread }));
    expect(here.host.calls.at(-1)).toMatchObject({
      asker: { classId: "morning-1" },
      from: { channel: morning.id },
    });
    here.host.suggestions = [{ label: "M13", value: "M13" }];
    const typed = wren.typeInto("request", "target", "m", {}, { channel: thread });
    expect((await typed.settled).choices).toHaveLength(1);
  });

  it("know who writes to Nightslate alone: a typed line, answered there once, however often it comes", async () => {
    await said(wren.slash("when", {}, { channel: morning }));
    wren.write("M31 R 2min x3", 2);
    const direct = here.standIn.world.directChannel(wren.userId);
    await vi.waitFor(() => expect(direct.messages).toHaveLength(1));
    expect(here.host.lines).toEqual(["M31 R 2min x3"]);
    expect(here.host.calls.at(-1)).toMatchObject({
      asker: { classId: "morning-1", name: "wren" },
      from: { channel: morning.id },
    });
    expect(direct.messages[0]?.content).toContain("target done");
  });

  it("do not know a stranger who writes to Nightslate alone", async () => {
    const elsewhere = here.standIn.world.addGuild("Another server");
    const stranger = here.standIn.join(elsewhere, "moth");
    stranger.write("M31");
    const direct = here.standIn.world.directChannel(stranger.userId);
    await vi.waitFor(() => expect(direct.messages[0]?.content).toContain("You are in none of the classes"));
    expect(here.host.lines).toEqual([]);
  });

  it("know their people anywhere else in the server", async () => {
    await said(wren.slash("when", {}, { channel: morning }));
    await said(wren.slash("when", {}, { channel: random }));
    expect(here.host.calls.at(-1)).toMatchObject({
      asker: { classId: "morning-1" },
      from: { channel: morning.id },
    });
  });

  it.each(["someone new", "someone of both"])("are not guessed for %s", async (who) => {
    if (who === "someone of both")
      for (const channel of [evening, morning]) await said(wren.slash("when", {}, { channel }));
    const before = here.host.calls.length;
    const interaction = wren.slash("when", {}, { channel: random });
    expect(await said(interaction)).toContain(
      `\nType this in <#${evening.id}> or <#${morning.id}>, so that I know your class.`,
    );
    expect(interaction.ephemeral).toBe(true);
    expect(here.host.calls).toHaveLength(before);
    const typed = wren.typeInto("request", "target", "m", {}, { channel: random });
    expect((await typed.settled).choices).toEqual([]);
  });

  it("answer a question about one's own request where its class meets", async () => {
    await said(wren.slash("when", {}, { channel: morning }));
    const asked = here.host.calls.at(-1);
    await here.desk.act(
      () => [
        {
          type: "request.made",
          number: 1,
          wish: {
            target: { kind: "body", id: "Moon", name: "Moon", type: "moon", body: "Moon" },
            filter: "V",
            exposureSeconds: 1,
            frames: 1,
            notBeforeUnixMs: null,
            note: null,
          },
          owner: given(asked).asker.id,
          classId: "morning-1",
          group: null,
          tier: 1,
          via: given(asked).from,
        },
      ],
      { by: "test" },
    );
    here.host.answer = () => plainReply("No answer to that", { tone: "refused" });
    expect(await said(wren.slash("when", { request: 1 }, { channel: evening }))).toContain(
      `Type this in <#${morning.id}>, your class's channel.`,
    );
    here.host.answer = () =>
      plainReply("Yours", {
        actions: [{ command: "when", options: { request: 1 }, label: "When #1?", onlyFor: null }],
      });
    const list = given((await wren.slash("when", {}, { channel: evening }).settled).original);
    here.host.answer = () => plainReply("No answer to that", { tone: "refused" });
    const pressed = await wren.press(list, "When #1?", { channel: evening }).settled;
    expect(pressed.followUps.at(-1)?.content ?? pressed.original?.content).toContain(`<#${morning.id}>`);
    const bram = here.standIn.join(given(here.classes[0]).guild, "bram");
    expect(await said(bram.slash("when", { request: 1 }, { channel: evening }))).not.toContain("<#");
  });

  it("have their commands put once for the server", () => {
    expect(given(here.classes[0]).guild.commandPuts).toBe(1);
    expect(here.logged.filter((each) => each.includes("the commands are registered"))).toHaveLength(1);
  });
});

describe("a thread of the only class", () => {
  it("is its class's", async () => {
    const here = await setUp();
    const { guild, channel } = given(here.classes[0]);
    const mira = here.standIn.join(guild, "mira");
    const thread = here.standIn.world.addThread(channel, "M13");
    await mira.slash("when", {}, { channel: thread }).settled;
    expect(here.host.calls.at(-1)?.from.channel).toBe(channel.id);
    await here.stop();
  });
});
