/** Buttons: pressed with a thumb, by the right person, also after a restart. */
import { InteractionResponseType } from "discord.js";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import type { Reply } from "../../../../src/commands/reply.js";
import type { Notice } from "../../../../src/journal/notice.js";
import { eventually } from "../../../eventually.js";
import { noticeFor, parcelOf } from "../notices.js";
import { given, later, plainReply, type SetUp, setUp } from "../set-up.js";
import { buttonsOf, type Person } from "../stand-in/people.js";
import type { Channel, StoredMessage } from "../stand-in/world.js";

describe("a button", () => {
  let here: SetUp;
  let mira: Person;
  let tomas: Person;
  beforeEach(async () => {
    here = await setUp();
    mira = here.standIn.join(given(here.classes[0]).guild, "mira");
    tomas = here.standIn.join(given(here.classes[0]).guild, "tomas");
  });
  afterEach(() => here.stop());

  const channel = (): Channel => given(here.classes[0]).channel;
  const withdrawable = (person: Person): Reply =>
    plainReply("#12 waits", {
      actions: [
        {
          command: "withdraw",
          options: { request: 12 },
          label: "Withdraw",
          onlyFor: `discord:${person.userId}`,
        },
        { command: "when", options: { request: 12 }, label: "Refresh", onlyFor: null },
      ],
    });
  const post = async (actions: Notice["actions"]): Promise<StoredMessage> => {
    const notice = noticeFor(channel(), { people: [`discord:${mira.userId}`], actions });
    await here.surface.deliver(parcelOf(notice));
    return given(channel().messages.at(-1));
  };

  it("runs its command as the person who pressed, and changes the answer it stood under", async () => {
    here.host.answer = () => withdrawable(mira);
    const asked = await mira.slash("when").settled;
    here.host.answer = () => plainReply("#12 withdrawn", { tone: "done" });
    const pressed = mira.press(given(asked.original), "Withdraw");
    await pressed.settled;
    expect(pressed.answeredWith).toBe(InteractionResponseType.UpdateMessage);
    expect(here.host.calls.at(-1)).toMatchObject({ command: "withdraw", options: { request: "12" } });
    expect(asked.original?.content).toContain("#12 withdrawn");
    expect(buttonsOf(given(asked.original))).toEqual([]);
  });

  it("leaves the message as it was when the command refuses, and says why", async () => {
    here.host.answer = () => withdrawable(mira);
    const asked = await mira.slash("when").settled;
    here.host.answer = () =>
      plainReply("Not done", { tone: "refused", lines: [["#12 has been taken already."]] });
    const pressed = await mira.press(given(asked.original), "Withdraw").settled;
    expect(pressed.original?.content).toContain("taken already");
    expect(asked.original?.content).toContain("#12 waits");
  });

  it("works after a restart: all it needs is in the button itself", async () => {
    const message = await post([
      { command: "withdraw", options: { request: 12 }, label: "Withdraw", onlyFor: `discord:${mira.userId}` },
    ]);
    await here.restart();
    const pressed = await mira.press(message, "Withdraw").settled;
    expect(pressed.original?.content).toContain("withdraw done");
    expect(pressed.ephemeral).toBe(true);
    expect(message.content).toContain("M13");
  });

  it("refuses the wrong person politely, and does nothing", async () => {
    const message = await post([
      { command: "withdraw", options: { request: 12 }, label: "Withdraw", onlyFor: `discord:${mira.userId}` },
    ]);
    const pressed = await tomas.press(message, "Withdraw").settled;
    expect(pressed.original?.content).toContain(
      "This button belongs to someone else; /mine shows your requests.",
    );
    expect(pressed.ephemeral).toBe(true);
    expect(here.host.calls).toHaveLength(0);
  });

  it("is nobody's here when it is for a person of another surface", async () => {
    const message = await post([
      { command: "withdraw", options: { request: 12 }, label: "Withdraw", onlyFor: "terminal:mira" },
    ]);
    await mira.press(message, "Withdraw").settled;
    expect(here.host.calls).toHaveLength(0);
  });

  it("is acknowledged first when its command takes long, and then changes the message", async () => {
    here.host.answer = () => plainReply("The queue");
    const asked = await mira.slash("queue", { scope: "mine" }).settled;
    const drawn = later<Reply>();
    here.host.answer = () => drawn.promise;
    const pressed = mira.press(given(asked.original), "Refresh");
    await pressed.acknowledged;
    expect(pressed.answeredWith).toBe(InteractionResponseType.DeferredMessageUpdate);
    drawn.resolve(plainReply("The queue, drawn anew"));
    await pressed.settled;
    expect(asked.original?.content).toContain("drawn anew");
    expect(here.host.calls.at(-1)).toMatchObject({ command: "queue", options: { scope: "mine" } });
    expect(buttonsOf(given(asked.original)).map((each) => each.label)).toEqual(["Refresh"]);
  });

  it("acts once for a press delivered twice", async () => {
    const message = await post([
      { command: "withdraw", options: { request: 12 }, label: "Withdraw", onlyFor: null },
    ]);
    await mira.press(message, "Withdraw", { deliveries: 2 }).settled;
    await mira.slash("when").settled;
    expect(here.host.calls.map((each) => each.command)).toEqual(["withdraw", "when"]);
  });

  it("works when an earlier version posted it, with its command as a line", async () => {
    const message = await post([]);
    await mira.pressId(message, "ns1\n*\n\n/withdraw 12").settled;
    await mira.pressId(message, `ns1\n${tomas.userId}\n\n/withdraw 12`).settled;
    await mira.pressId(message, "ns1\n*\nmark\n/queue scope=mine").settled;
    expect(here.host.calls.map(({ command, options }) => ({ command, options }))).toEqual([
      { command: "withdraw", options: { request: "12" } },
      { command: "queue", options: { scope: "mine" } },
    ]);
  });

  it("carries what a wish is made of, a position's blanks and all", async () => {
    const options = { target: "05 35 17.3 -05 23 28", filter: "clear", exposure: 20, frames: 3 };
    const message = await post([{ command: "request", options, label: "Ask again", onlyFor: null }]);
    await mira.press(message, "Ask again").settled;
    expect(here.host.calls[0]).toMatchObject({
      command: "request",
      options: { target: "05 35 17.3 -05 23 28", filter: "clear", exposure: "20", frames: "3" },
    });
  });

  it("says what to do when it is from an earlier version", async () => {
    const message = await post([]);
    const pressed = await mira.pressId(message, "withdraw_12").settled;
    expect(pressed.original?.content).toMatch(/from an earlier version: type the command/);
  });

  it("knows the presser's class and role in a direct message, by asking the server", async () => {
    const { instructorRoleId } = given(here.classes[0]);
    given(given(here.classes[0]).guild.members.get(mira.userId)).roles.push(instructorRoleId);
    await here.surface.deliver(
      parcelOf(
        noticeFor(channel(), {
          people: [`discord:${mira.userId}`],
          audience: "person",
          actions: [{ command: "when", options: { request: 12 }, label: "Show why", onlyFor: null }],
        }),
      ),
    );
    const direct = here.standIn.world.directChannel(mira.userId);
    await mira.press(given(direct.messages[0]), "Show why").settled;
    expect(here.host.calls[0]?.asker).toMatchObject({ classId: "evening-2", role: "instructor" });
  });

  it("tells someone who has left the server how to come back, and keeps quiet about them in the log", async () => {
    const direct = here.standIn.world.directChannel(mira.userId);
    const message = await post([
      { command: "when", options: { request: 12 }, label: "Show why", onlyFor: null },
    ]);
    given(here.classes[0]).guild.members.delete(mira.userId);
    const pressed = await mira.press(message, "Show why", { channel: direct }).settled;
    expect(pressed.original?.content).toMatch(/no longer in the class's server: ask your instructor/);
    expect(here.host.calls).toHaveLength(0);
    expect(here.logged.join("\n")).not.toContain(mira.userId);
  });

  it("is left out when its command is too long to be carried", async () => {
    const message = await post([
      { command: "request", options: { target: "x".repeat(120) }, label: "Ask again", onlyFor: null },
    ]);
    await eventually(() => expect(buttonsOf(message).map((each) => each.label)).toEqual(["Run order"]));
  });
});
