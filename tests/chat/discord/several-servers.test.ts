/** Several servers share one telescope: each sees its own people by name and the others only as others. */
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { person, say } from "../../../src/base/phrase.js";
import { noticeFor, parcelOf } from "./notices.js";
import { given, plainReply, type SetUp, setUp } from "./set-up.js";
import type { Person } from "./stand-in/people.js";

describe("two servers", () => {
  let here: SetUp;
  let mira: Person;
  let wren: Person;
  beforeEach(async () => {
    here = await setUp({ classIds: ["evening-2", "morning-1"] });
    mira = here.standIn.join(given(here.classes[0]).guild, "mira");
    wren = here.standIn.join(given(here.classes[1]).guild, "wren");
    await mira.slash("when").settled;
    await wren.slash("when").settled;
  });
  afterEach(() => here.stop());

  it("send their people to their own class and channel", () => {
    expect(here.host.calls.map(({ asker, from }) => [asker.classId, from.channel])).toEqual([
      ["evening-2", given(here.classes[0]).channel.id],
      ["morning-1", given(here.classes[1]).channel.id],
    ]);
  });

  it("see their own by name and the others without", async () => {
    const both = say`${person(`discord:${mira.userId}`)}, then ${person(`discord:${wren.userId}`)}`;
    here.host.answer = () => plainReply("The queue", { lines: [both] });
    const [first, second] = [await mira.slash("when").settled, await wren.slash("when").settled];
    expect(first.original?.content).toContain("mira, then someone in another class");
    expect(second.original?.content).toContain("someone in another class, then wren");
  });

  it("each have their own notices and board", async () => {
    const channel = given(here.classes[1]).channel;
    const people = [`discord:${wren.userId}`];
    await here.surface.deliver(
      parcelOf(
        noticeFor(channel, {
          classId: "morning-1",
          people,
          lines: [say`After ${person(`discord:${mira.userId}`)}.`],
        }),
      ),
    );
    expect(channel.messages.at(-1)?.content).toContain("After someone in another class.");
    expect(given(here.classes[0]).channel.messages).toHaveLength(0);
  });

  it("may have instructors of their own: a role of one is nothing in the other", async () => {
    const foreign = given(here.classes[0]).instructorRoleId;
    const guild = given(here.classes[1]).guild;
    const visitor = here.standIn.join(guild, "visitor", [foreign]);
    await visitor.slash("when").settled;
    expect(here.host.calls.at(-1)?.asker.role).toBe("student");
  });

  it("do not keep each other's people waiting: a class that cannot be looked into is passed over", async () => {
    const [own, other] = [given(here.classes[1]).guild, given(here.classes[0]).guild];
    const direct = here.standIn.world.directChannel(wren.userId);
    const message = given((await wren.slash("when").settled).original);
    const press = async () =>
      given((await wren.pressId(message, WHEN_BUTTON, { channel: direct }).settled).original).content;
    here.standIn.faults.plant("before", "GET", new RegExp(`guilds/${other.id}`), {
      do: "status",
      status: 403,
    });
    expect(await press()).toContain("when done");
    own.members.delete(wren.userId);
    here.standIn.faults.plant("before", "GET", new RegExp(`guilds/${other.id}`), {
      do: "status",
      status: 403,
    });
    expect(await press()).toContain("could not confirm your class; type the command in your class's channel");
  });
});

const WHEN_BUTTON = "ns1\n*\n\n/when";
