/** Commands: acknowledged in time, acted on once, answered as the reply says. */
import { InteractionResponseType } from "discord.js";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { clockTime, person, say, strong } from "../../../../src/base/phrase.js";
import { MINUTE } from "../../../../src/base/units.js";
import type { Reply } from "../../../../src/commands/reply.js";
import { eventually } from "../../../eventually.js";
import { given, later, plainReply, type SetUp, setUp } from "../set-up.js";
import { isEphemeral, type Person } from "../stand-in/people.js";

const PICTURE = { png: Buffer.from("png"), altText: "Run order tonight: 3 requests", fileName: "queue.png" };

describe("a command", () => {
  let here: SetUp;
  let mira: Person;
  beforeEach(async () => {
    here = await setUp();
    mira = here.standIn.join(guild(), "mira");
  });
  afterEach(() => here.stop());

  const guild = () => given(here.classes[0]).guild;
  const channel = () => given(here.classes[0]).channel;
  const text = async (interaction: ReturnType<Person["slash"]>): Promise<string> =>
    (await interaction.settled).original?.content ?? "";

  it("is answered at once, to the asker alone, times in the platform's own markup", async () => {
    const at = Date.UTC(2026, 10, 26, 3, 40);
    here.host.answer = () =>
      plainReply("About 21:40", { lines: [say`Starts ${strong("soon")}: ${clockTime(at)}.`] });
    const interaction = mira.slash("when");
    expect(await text(interaction)).toBe(`• **About 21:40**\nStarts **soon**: <t:${at / 1000}:t>.`);
    expect(interaction.answeredWith).toBe(InteractionResponseType.ChannelMessageWithSource);
    expect(interaction.ephemeral).toBe(true);
    expect(channel().messages).toHaveLength(0);
  });

  it("hands over who asks, for which class, with which options", async () => {
    await text(mira.slash("request", { target: "M13", exposure: 20, frames: 3, filter: "V" }));
    expect(here.host.calls[0]).toMatchObject({
      command: "request",
      options: { target: "M13", exposure: 20, frames: 3, filter: "V" },
      asker: { id: `discord:${mira.userId}`, name: "mira", classId: "evening-2", role: "student" },
      from: { surface: "discord", channel: channel().id },
    });
    expect(here.host.calls[0]?.onceKey).toMatch(/^discord:\d+$/);
  });

  it("is acknowledged before a picture is drawn, and filled in with the picture and its words", async () => {
    const drawn = later<Reply>();
    here.host.answer = () => drawn.promise;
    const interaction = mira.slash("queue");
    await interaction.acknowledged;
    expect(interaction.answeredWith).toBe(InteractionResponseType.DeferredChannelMessageWithSource);
    drawn.resolve(plainReply("3 requests wait", { picture: PICTURE }));
    expect(await text(interaction)).toContain("3 requests wait");
    expect(interaction.original?.attachments).toMatchObject([
      { filename: "queue.png", description: "Run order tonight: 3 requests" },
    ]);
  });

  it("is acknowledged before it is worked on when many come at once, and suggestions come all the same", async () => {
    const gate = later<Reply>();
    here.host.answer = () => gate.promise;
    const many = Array.from({ length: 30 }, () => mira.slash("when"));
    await Promise.all(many.slice(4).map((each) => each.acknowledged));
    expect(new Set(many.slice(4).map((each) => each.answeredWith))).toEqual(
      new Set([InteractionResponseType.DeferredChannelMessageWithSource]),
    );
    expect(here.host.calls.length).toBeLessThanOrEqual(8);
    here.host.suggestions = [{ label: "M13", value: "M13" }];
    expect((await mira.typeInto("request", "target", "M").settled).choices).toHaveLength(1);
    gate.resolve(plainReply("At last"));
    for (const each of many) expect(await text(each)).toContain("At last");
    expect(here.host.calls).toHaveLength(30);
  });

  it("is acknowledged while it takes longer than expected", async () => {
    const done = later<Reply>();
    here.host.answer = () => done.promise;
    const interaction = mira.slash("when");
    await eventually(() => expect(here.host.calls).toHaveLength(1));
    await here.clock.moveTo(here.clock.now() + 400);
    await interaction.acknowledged;
    done.resolve(plainReply("At last"));
    expect(await text(interaction)).toContain("At last");
  });

  it("makes one call however often the same interaction is delivered", async () => {
    const interaction = mira.slash("request", { target: "M13" }, { deliveries: 3 });
    await interaction.settled;
    await text(mira.slash("when"));
    expect(here.host.calls.map((each) => each.command)).toEqual(["request", "when"]);
    expect(interaction.refusedAnswers).toBe(0);
  });

  it("counts as answered when only the platform's receipt was lost", async () => {
    here.standIn.faults.plant("after", "POST", /callback$/, { do: "reset" });
    const interaction = mira.slash("when");
    expect(await text(interaction)).toContain("when done");
    await eventually(() => expect(interaction.refusedAnswers).toBe(1));
    await text(mira.slash("when"));
    expect(here.logged.join("\n")).not.toContain("went astray");
  });

  it("is answered again when the first answer never arrived", async () => {
    here.standIn.faults.plant("before", "POST", /callback$/, { do: "status", status: 500 });
    expect(await text(mira.slash("when"))).toContain("when done");
  });

  it("comes by direct message when the platform did not take any answer in time", async () => {
    here.standIn.faults.plant("before", "POST", /callback$/, { do: "reset" }, { times: 2 });
    mira.slash("request", { target: "M13" });
    const direct = here.standIn.world.directChannel(mira.userId);
    await eventually(() => expect(direct.messages).toHaveLength(1));
    expect(direct.messages[0]?.content).toContain("request done");
  });

  it("is not acted on when it arrives too late to be acknowledged", async () => {
    here.standIn.gateway.drop();
    const late = mira.slash("request", { target: "M13" });
    await here.clock.moveTo(here.clock.now() + 4_000);
    await here.standIn.gateway.connected();
    await eventually(() => expect(here.logged.join("\n")).toContain("10062"));
    expect(here.host.calls).toHaveLength(0);
    expect(late.answeredWith).toBeNull();
  });

  it("comes by direct message when the work outlasts the platform's fifteen minutes", async () => {
    const done = later<Reply>();
    here.host.answer = () => done.promise;
    const interaction = mira.slash("queue");
    await interaction.acknowledged;
    await here.clock.moveTo(here.clock.now() + 16 * MINUTE);
    done.resolve(plainReply("3 requests wait"));
    const direct = here.standIn.world.directChannel(mira.userId);
    await eventually(() => expect(direct.messages).toHaveLength(1));
    expect(direct.messages[0]?.content).toMatch(
      /3 requests wait\*\*\n.*only for a while; this one came later/,
    );
  });

  it("names people without calling anyone", async () => {
    here.host.names.set("discord:1", { name: "@everyone *Kofi*", classId: "evening-2" });
    here.host.answer = () => plainReply("Hold", { lines: [say`By ${person("discord:1")}.`] });
    const interaction = mira.slash("when");
    await interaction.settled;
    expect(interaction.original).toMatchObject({ mentions: [], mentionEveryone: false });
    expect(isEphemeral(given(interaction.original))).toBe(true);
    expect(interaction.original?.content).toContain("@\u200beveryone \\*Kofi\\*");
  });

  it("sends its files, and says plainly which is too large for the platform", async () => {
    here.standIn.messages.uploadLimitBytes = 2 * 1024 * 1024;
    here.host.answer = () =>
      plainReply("Results", {
        downloads: [
          { fileName: "results.csv", mediaType: "text/csv", content: "number;target" },
          { fileName: "night.fits", mediaType: "image/fits", content: Buffer.alloc(3 * 1024 * 1024) },
        ],
      });
    const interaction = mira.slash("when");
    expect(await text(interaction)).toMatch(
      /night\.fits \(3\.0 MiB\) is larger than Discord takes here \(2\.0 MiB\)/,
    );
    expect(interaction.original?.attachments.map((each) => each.filename)).toEqual(["results.csv"]);
  });

  it("still answers when the platform finds the files too large after all", async () => {
    here.host.answer = () => plainReply("Results", { picture: PICTURE });
    here.standIn.faults.plant("before", "PATCH", /@original$/, { do: "status", status: 413 });
    expect(await text(mira.slash("when"))).toMatch(/Results\*\*\nThe picture is larger/);
  });

  it("says what to do about an option of the wrong type, an option or a command that is no more", async () => {
    const frames = mira.slashRaw("request", [
      { name: "target", type: 3, value: "M13" },
      { name: "frames", type: 5, value: true },
    ]);
    expect(await text(frames)).toMatch(
      /frames of \/request must be a whole number.*\/request M13 clear 20 3.*close Discord/,
    );
    const gone = mira.slashRaw("request", [{ name: "colour", type: 3, value: "red" }]);
    expect(await text(gone)).toMatch(/no longer has the option "colour"/);
    expect(await text(mira.slashRaw("reserve", []))).toMatch(/\/reserve is no longer offered/);
    expect(here.host.calls).toHaveLength(0);
  });

  it("lets the command judge text where an old app sends text for a number", async () => {
    await text(
      mira.slashRaw("request", [
        { name: "target", type: 3, value: "M13" },
        { name: "frames", type: 3, value: "three" },
      ]),
    );
    expect(here.host.calls[0]?.options).toEqual({ target: "M13", frames: "three" });
  });

  it("takes a role from the server, never from the app: roles and permissions of the configuration", async () => {
    const { instructorRoleId, operatorRoleId } = given(here.classes[0]);
    const roleOf = async (person: Person): Promise<string | undefined> => {
      await person.slash("when").settled;
      return here.host.calls.at(-1)?.asker.role;
    };
    expect(await roleOf(mira)).toBe("student");
    expect(await roleOf(here.standIn.join(guild(), "okoro", [operatorRoleId]))).toBe("operator");
    expect(await roleOf(here.standIn.join(guild(), "quill", [instructorRoleId, operatorRoleId]))).toBe(
      "instructor",
    );
    expect(await roleOf(here.standIn.owner(guild()))).toBe("instructor");
    const moderator = here.standIn.world.addRole(guild(), "Moderator", 1n << 13n).id;
    expect(await roleOf(here.standIn.join(guild(), "bram", [moderator]))).toBe("student");
  });

  it("names a person without making them known or changing what is known of them", async () => {
    const { instructorRoleId } = given(here.classes[0]);
    const quill = here.standIn.join(guild(), "quill", [instructorRoleId]);
    await text(quill.slash("cancel", { reason: "Cloud", person: mira.userId }));
    expect(here.host.calls[0]?.options.person).toBe(`discord:${mira.userId}`);
    expect(here.host.welcomed.map((each) => each.name)).toEqual(["quill"]);
  });

  it("makes people known whom staff mention in a list, once, and nobody for a student", async () => {
    const { instructorRoleId } = given(here.classes[0]);
    const quill = here.standIn.join(guild(), "quill", [instructorRoleId]);
    const members = `${mira.mention}, <@!999999999999999999> ${here.standIn.world.bot.id} <@${here.standIn.world.bot.id}>`;
    await text(mira.slashRaw("session", [{ name: "members", type: 3, value: quill.mention }]));
    expect(here.host.welcomed.map((each) => each.name)).toEqual(["mira"]);
    const wren = here.standIn.join(guild(), "wren");
    await text(quill.slash("session", { members: `${members} ${wren.mention}` }));
    expect(here.host.welcomed.map((each) => each.name)).toEqual(["mira", "quill", "wren"]);
    expect(here.host.welcomed.at(-1)).toMatchObject({ classId: "evening-2", role: "student" });
  });

  it("answers someone in a server without a class", async () => {
    const other = here.standIn.world.addGuild("Elsewhere");
    here.standIn.world.addChannel(other, "general");
    const stranger = here.standIn.join(other, "stranger");
    expect(await text(stranger.slashRaw("when", []))).toMatch(/No class is set up for this server/);
  });

  it("logs nothing about people", async () => {
    here.host.answer = () => Promise.reject(new Error(`secret about ${mira.userId}`));
    await text(mira.slash("when"));
    const log = here.logged.join("\n");
    expect(log).toContain("failed");
    for (const personal of ["mira", mira.userId, "secret"]) expect(log).not.toContain(personal);
  });
});
