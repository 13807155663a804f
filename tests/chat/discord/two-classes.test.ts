/** Two classes with the whole product behind them: what is told about a request stays in its class. */
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import type { Running } from "../../../src/wiring/start.js";
import { eventually } from "../../eventually.js";
import { type ClassOnDiscord, given } from "./set-up.js";
import type { Person } from "./stand-in/people.js";
import type { StandIn } from "./stand-in/stand-in.js";
import type { Channel, Guild, StoredMessage } from "./stand-in/world.js";
import { wholeEvening } from "./whole-evening.js";

describe("two classes that share the telescope", () => {
  let standIn: StandIn;
  let running: Running;
  let classes: readonly ClassOnDiscord[];
  let end: () => Promise<void>;

  beforeEach(async () => {
    ({ standIn, running, classes, end } = await wholeEvening(["evening-2", "morning-1"], 1));
  });
  afterEach(() => end());

  const ask = async (who: Person, name: string, typed = {}): Promise<StoredMessage> =>
    given((await who.slash(name, typed, { channel: channelOf(who.guild) }).settled).original);
  const channelOf = (guild: Guild): Channel => given(classes.find((each) => each.guild === guild)).channel;
  const told = (channel: Channel): string => channel.messages.map((each) => each.content).join("\n");

  it("hear of a request in its own class alone, though its owner was in the other since", async () => {
    const [one, two] = [given(classes[0]), given(classes[1])];
    const quill = standIn.join(one.guild, "Prof. Quill", [one.instructorRoleId]);
    const mira = standIn.join(one.guild, "Mira");
    await ask(quill, "hold", { reason: "cloud" });
    await ask(mira, "request", { target: "M31" });
    await ask(standIn.joinToo(two.guild, mira), "mine");
    await ask(mira, "alerts", { how: "mention", quiet: "off" });
    await ask(standIn.joinToo(two.guild, mira), "mine");
    await ask(quill, "cancel", { request: 1, reason: "only for class one" });
    await eventually(() => expect(told(one.channel)).toContain("only for class one"));
    expect(one.channel.messages.at(-1)?.mentions).toEqual([mira.userId]);
    expect(told(two.channel)).toContain("Hold: no new request is taken");
    expect(told(two.channel)).not.toContain("only for class one");
  });

  it("cannot take each other's people by naming them", async () => {
    const [one, two] = [given(classes[0]), given(classes[1])];
    const quill = standIn.join(one.guild, "Prof. Quill", [one.instructorRoleId]);
    const cleo = standIn.join(two.guild, "Cleo");
    standIn.joinToo(one.guild, cleo);
    await ask(cleo, "request", { target: "M39" });
    const before = running.services.desk.state.people.get(`discord:${cleo.userId}`);
    for (const reply of [
      await ask(quill, "cancel", { person: cleo.userId, reason: "mistake" }),
      await ask(quill, "session", { action: "groups", group: "Elm", members: cleo.mention }),
    ])
      expect(reply.content).toContain("That person has typed no command in your class yet");
    expect(running.services.desk.state.people.get(`discord:${cleo.userId}`)).toEqual(before);
    const states = [...running.services.desk.state.requests.values()].map((each) => each.state);
    expect(states).not.toContain("cancelled");
  });
});
