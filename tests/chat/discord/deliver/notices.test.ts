/** Notices on the platform: to whom, how loud, in how many messages. */

import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { MessageFlags } from "discord.js";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { person, say } from "../../../../src/base/phrase.js";
import type { DiscordSurface } from "../../../../src/chat/discord/surface.js";
import type { Parcel } from "../../../../src/chat/surface.js";
import type { AlertChoice } from "../../../../src/journal/events.js";
import { eventually } from "../../../eventually.js";
import { noticeFor, parcelOf } from "../notices.js";
import { given, type SetUp, setUp } from "../set-up.js";
import { buttonsOf, type Person } from "../stand-in/people.js";
import type { Channel, StoredMessage } from "../stand-in/world.js";

describe("a notice", () => {
  let here: SetUp;
  let mira: Person;
  let tomas: Person;
  beforeEach(async () => {
    here = await setUp();
    mira = joined("mira");
    tomas = joined("tomas");
  });
  afterEach(() => here.stop());

  const channel = (): Channel => given(here.classes[0]).channel;
  const idOf = (who: Person): string => `discord:${who.userId}`;
  const joined = (name: string): Person => {
    const who = here.standIn.join(given(here.classes[0]).guild, name);
    here.host.names.set(idOf(who), { name, classId: "evening-2" });
    return who;
  };
  const choose = (who: Person, how: AlertChoice["how"]): Promise<unknown> =>
    here.desk.act(
      () => [
        { type: "person.alerts", personId: idOf(who), choice: { how, quietFrom: null, quietUntil: null } },
      ],
      { by: idOf(who) },
    );
  const directTo = (who: Person): readonly StoredMessage[] =>
    here.standIn.world.directChannel(who.userId).messages;

  it("calls exactly the people it is for, however the text tries to call others", async () => {
    await here.surface.deliver(
      parcelOf(
        noticeFor(channel(), {
          people: [idOf(mira)],
          title: `M13 @everyone ${tomas.mention}`,
          lines: [say`Asked by ${person(idOf(tomas))} with <@&1> @here.`],
        }),
      ),
    );
    expect(channel().messages).toMatchObject([{ mentions: [mira.userId], mentionEveryone: false }]);
    expect(channel().messages[0]?.content).toContain(`${mira.mention} **M13 @\u200beveryone`);
    expect(channel().messages[0]?.content).toContain("Asked by tomas");
  });

  it("carries its picture with the words for those who cannot see it", async () => {
    writeFileSync(join(here.host.dataFolder, "frame.png"), "png");
    const attachment = { file: "frame.png", altText: "Simulated frame 1 of 3: M13" };
    await here.surface.deliver(parcelOf(noticeFor(channel(), { attachment })));
    expect(channel().messages[0]?.attachments).toMatchObject([
      { filename: "frame.png", description: "Simulated frame 1 of 3: M13" },
    ]);
  });

  it("comes without a picture that is missing, too large, or outside the data folder, and says so", async () => {
    writeFileSync(join(here.host.dataFolder, "big.png"), Buffer.alloc(11 * 1024 * 1024));
    for (const file of ["none.png", "big.png", "../../../etc/hostname"]) {
      await here.surface.deliver(parcelOf(noticeFor(channel(), { attachment: { file, altText: null } })));
    }
    expect(channel().messages.map((each) => each.attachments.length)).toEqual([0, 0, 0]);
    expect(channel().messages.map((each) => each.content.split("\n").at(-1))).toEqual([
      "The picture none.png is no longer there.",
      "big.png (11.0 MiB) is larger than Discord takes here (10.0 MiB): ask your instructor for it; it is kept with the observatory's files.",
      "The picture hostname is no longer there.",
    ]);
  });

  it("is posted without sound when it is quiet", async () => {
    await here.surface.deliver(parcelOf(noticeFor(channel(), { quiet: true, people: [idOf(mira)] })));
    await here.surface.deliver(parcelOf(noticeFor(channel(), {})));
    expect(channel().messages.map((each) => each.flags)).toEqual([MessageFlags.SuppressNotifications, 0]);
  });

  it("names without calling those who chose silence or the morning", async () => {
    await choose(mira, "silent");
    await choose(tomas, "morning");
    const notice = noticeFor(channel(), { people: [idOf(mira), idOf(tomas)] });
    await here.surface.deliver(parcelOf(notice));
    expect(channel().messages).toMatchObject([{ mentions: [] }]);
    expect(channel().messages[0]?.content).toContain("For mira and tomas.");
  });

  it("goes by direct message to who chose that, and nowhere else", async () => {
    await here.surface.deliver(parcelOf(noticeFor(channel(), { audience: "person", people: [idOf(mira)] })));
    expect(directTo(mira)).toHaveLength(1);
    expect(channel().messages).toHaveLength(0);
  });

  it("falls back to the channel when direct messages are refused, explains it once, and remembers", async () => {
    here.standIn.world.refusesDirect.add(mira.userId);
    const send = (surface: DiscordSurface): Promise<unknown> =>
      surface.deliver(parcelOf(noticeFor(channel(), { audience: "person", people: [idOf(mira)] })));
    await send(here.surface);
    const attempts = (): number =>
      here.standIn.log.filter((each) => each.includes("/users/@me/channels")).length;
    expect(attempts()).toBe(1);
    const restarted = await here.restart();
    await send(restarted);
    expect(channel().messages).toHaveLength(2);
    expect(channel().messages.map((each) => each.mentions)).toEqual([[mira.userId], [mira.userId]]);
    expect(channel().messages.map((each) => /closed to Nightslate/.test(each.content))).toEqual([
      true,
      false,
    ]);
    expect(attempts()).toBe(1);
    here.standIn.world.refusesDirect.delete(mira.userId);
    await choose(mira, "direct");
    const refusals = (): number => here.desk.state.remembered.get("discord")?.size ?? 0;
    await eventually(() => expect(refusals()).toBe(0));
    await send(restarted);
    expect(directTo(mira)).toHaveLength(1);
  });

  it("remembers a refusal without the account, and not beyond the person", async () => {
    here.standIn.world.refusesDirect.add(mira.userId);
    await here.surface.deliver(
      parcelOf(
        noticeFor(channel(), {
          key: `9:taken:${idOf(mira)}`,
          audience: "person",
          people: [idOf(mira)],
        }),
      ),
    );
    const remembered = (): string => JSON.stringify([...(here.desk.state.remembered.get("discord") ?? [])]);
    expect(remembered()).toContain("direct-refused");
    expect(remembered()).not.toContain(mira.userId);
    await here.desk.act(() => [{ type: "person.forgotten", personId: idOf(mira) }], { by: idOf(mira) });
    await eventually(() => expect(remembered()).not.toContain("direct-refused"));
  });

  const direct = (): Parcel =>
    parcelOf(noticeFor(channel(), { audience: "person", people: [idOf(mira)], title: "Yours is next" }));

  it("goes to the channel while the platform stops direct messages, and directly again after", async () => {
    here.standIn.world.directStopped = true;
    await here.surface.deliver(direct());
    expect(channel().messages.map((each) => each.content)).toEqual([
      expect.stringMatching(/Yours is next[\s\S]*stopped Nightslate from sending direct messages/),
    ]);
    expect(channel().messages[0]?.mentions).toEqual([mira.userId]);
    here.standIn.world.directStopped = false;
    await here.surface.deliver(direct());
    expect([channel().messages.length, directTo(mira).length]).toEqual([1, 1]);
  });

  it("stands once when its post to the channel is lost and direct messages pass again meanwhile", async () => {
    here.standIn.world.directStopped = true;
    here.standIn.faults.plant("after", "POST", /^\/channels\/\d+\/messages$/, { do: "status", status: 500 });
    const parcel = direct();
    expect(await here.surface.deliver(parcel)).toMatchObject({ result: "retry" });
    here.standIn.world.directStopped = false;
    expect(await here.surface.deliver({ ...parcel, maybeSent: true })).toMatchObject({ result: "delivered" });
    expect([channel().messages.length, directTo(mira).length]).toEqual([1, 0]);
  });

  it("waits while direct messages are opened too fast", async () => {
    here.standIn.world.directOpenings = 0;
    expect(await here.surface.deliver(direct())).toMatchObject({
      result: "retry",
      afterMs: 60_000,
      reason: expect.stringMatching(/^40003: .*only so many direct messages/),
    });
    here.standIn.world.directOpenings = 1;
    await here.surface.deliver(direct());
    expect(directTo(mira)).toHaveLength(1);
  });

  const pictured = (): Parcel => {
    writeFileSync(join(here.host.dataFolder, "frame.png"), "png");
    return parcelOf(noticeFor(channel(), { attachment: { file: "frame.png", altText: "M13" } }));
  };
  const fail = (when: "before" | "after", times: number, skip = 0, status = 500): void =>
    here.standIn.faults.plant(
      when,
      "POST",
      /^\/channels\/\d+\/messages$/,
      { do: "status", status },
      { times, skip },
    );

  it("comes without its picture after two uploads of which nothing was heard, and says so", async () => {
    fail("before", 2);
    const parcel = pictured();
    for (const result of ["retry", "retry", "delivered"]) {
      expect(await here.surface.deliver(parcel)).toMatchObject({ result });
    }
    expect(channel().messages).toMatchObject([{ attachments: [] }]);
    expect(channel().messages[0]?.content).toMatch(/The picture frame\.png could not be uploaded/);
  });

  it("is not posted again without its picture when one of the lost uploads had arrived", async () => {
    fail("before", 1);
    fail("after", 1);
    const parcel = pictured();
    for (const result of ["retry", "retry", "delivered"]) {
      expect(await here.surface.deliver(parcel)).toMatchObject({ result });
    }
    expect(channel().messages.map((each) => each.attachments.length)).toEqual([1]);
  });

  it("is sent without the others when the platform refuses them together, and only the bad one is dropped", async () => {
    fail("before", 1, 0, 400);
    fail("before", 1, 1, 400);
    const notices = ["one", "two", "three"].map((title) => noticeFor(channel(), { title }));
    expect(await here.surface.deliver(parcelOf(...notices))).toMatchObject({
      result: "delivered",
      refused: { keys: [notices[1]?.key] },
    });
    expect(channel().messages.map((each) => each.content)).toEqual([
      expect.stringContaining("one"),
      expect.stringContaining("three"),
    ]);
    expect(here.said.join("\n")).toMatch(/please report .*with the log/);
  });

  it("stands once when its single message is lost after such a refusal", async () => {
    fail("before", 1, 0, 400);
    fail("after", 1);
    const notices = ["one", "two"].map((title) => noticeFor(channel(), { title }));
    const parcel = parcelOf(...notices);
    expect(await here.surface.deliver(parcel)).toMatchObject({ result: "retry" });
    fail("before", 1, 0, 400);
    expect(await here.surface.deliver({ ...parcel, maybeSent: true })).toMatchObject({ result: "delivered" });
    expect(channel().messages.map((each) => each.content)).toEqual([
      expect.stringContaining("one"),
      expect.stringContaining("two"),
    ]);
  });

  it("goes to the channel for someone who has left every shared server", async () => {
    given(here.classes[0]).guild.members.delete(mira.userId);
    await here.surface.deliver(parcelOf(noticeFor(channel(), { audience: "person", people: [idOf(mira)] })));
    expect(channel().messages).toHaveLength(1);
  });

  it("announces a cancel of 60 requests once, every person called once, within the platform's limits", async () => {
    const people = Array.from({ length: 60 }, (_, index) => joined(`student-${index}`));
    const notice = noticeFor(channel(), {
      kind: "cancelled",
      title: "60 requests cancelled",
      people: people.map(idOf),
      lines: [say`Cancelled: #1–#60.`, say`Reason: cloud.`],
    });
    await here.surface.deliver(parcelOf(notice));
    const called = channel().messages.flatMap((each) => each.mentions);
    expect(channel().messages).toHaveLength(1);
    expect(called.sort()).toEqual(people.map((each) => each.userId).sort());
  });

  it("is split where 300 people do not fit into one message, none called twice", async () => {
    const people = Array.from({ length: 300 }, (_, index) => joined(`student-${index}`));
    const notice = noticeFor(channel(), { title: "300 requests cancelled", people: people.map(idOf) });
    await here.surface.deliver(parcelOf(notice));
    const called = channel().messages.flatMap((each) => each.mentions);
    expect(called).toHaveLength(300);
    expect(new Set(called).size).toBe(300);
    expect(channel().messages.length).toBeLessThanOrEqual(4);
    expect(
      channel()
        .messages.slice(1)
        .every((each) => each.content.includes("(continued)")),
    ).toBe(true);
  });

  it("shares a message with others for the same place, its buttons saying which is whose", async () => {
    const why = (number: number) => [
      { command: "when", options: { request: number }, label: "Show why", onlyFor: null },
      {
        command: "request",
        options: { target: `M${number + 80}`, frames: 3 },
        label: "Ask again",
        onlyFor: null,
        about: number,
      },
    ];
    await here.surface.deliver(
      parcelOf(
        noticeFor(channel(), { people: [idOf(mira)], actions: why(12) }),
        noticeFor(channel(), { people: [idOf(tomas)], actions: why(13) }),
      ),
    );
    expect(channel().messages).toHaveLength(1);
    expect(channel().messages[0]?.mentions).toEqual([mira.userId, tomas.userId]);
    expect(buttonsOf(given(channel().messages[0])).map((each) => each.label)).toEqual([
      "Show why #12",
      "Ask again #12",
      "Show why #13",
      "Ask again #13",
    ]);
  });

  it("is dropped, with the reason, when its channel is gone and its class meets nowhere any more", async () => {
    const gone = { ...channel(), id: "123456789012345678" };
    const notice = noticeFor(gone, { classId: "last-term" });
    expect(await here.surface.deliver(parcelOf(notice))).toMatchObject({
      result: "drop",
      reason: expect.stringContaining("10003"),
    });
  });

  it("follows its class to another channel", async () => {
    const before = { ...channel(), id: "123456789012345678" };
    expect(await here.surface.deliver(parcelOf(noticeFor(before)))).toMatchObject({ result: "delivered" });
    expect(channel().messages).toHaveLength(1);
  });

  it("names who wants no call beside those it calls", async () => {
    await choose(tomas, "silent");
    await here.surface.deliver(parcelOf(noticeFor(channel(), { people: [idOf(mira), idOf(tomas)] })));
    expect(channel().messages).toMatchObject([{ mentions: [mira.userId] }]);
    expect(channel().messages[0]?.content).toContain("\nAlso for tomas.\n");
  });

  it("waits while the channel that the configuration names does not exist", async () => {
    here.standIn.world.channels.delete(channel().id);
    expect(await here.surface.deliver(parcelOf(noticeFor(channel())))).toMatchObject({
      result: "retry",
      afterMs: 60_000,
      reason: expect.stringContaining("discord.guilds → channelId"),
    });
  });

  it("waits while a permission is missing", async () => {
    channel().overwrites.push({
      id: given(here.classes[0]).guild.id,
      type: 0,
      allow: "0",
      deny: (1n << 11n).toString(),
    });
    expect(await here.surface.deliver(parcelOf(noticeFor(channel())))).toMatchObject({
      result: "retry",
      reason: expect.stringContaining("Send Messages"),
    });
  });
});
