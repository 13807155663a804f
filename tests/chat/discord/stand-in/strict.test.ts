/** The stand-in refuses what the platform refuses, seen by the real client's rest manager. */
import { ButtonStyle, type DiscordAPIError, REST, Routes } from "discord.js";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { type StandIn, startStandIn } from "./stand-in.js";
import type { Channel, Guild } from "./world.js";

const VIEW = 1n << 10n;
const HISTORY = 1n << 16n;

describe("the stand-in", () => {
  let standIn: StandIn;
  let guild: Guild;
  let channel: Channel;
  let rest: REST;
  beforeEach(async () => {
    standIn = await startStandIn();
    guild = standIn.world.addGuild("Evening Survey");
    channel = standIn.world.addChannel(guild, "telescope");
    rest = new REST({ api: standIn.apiUrl, retries: 0 }).setToken(standIn.token);
  });
  afterEach(() => standIn.stop());

  const code = (promise: Promise<unknown>): Promise<number | string> =>
    promise.then(
      () => "no error",
      (error: DiscordAPIError) => error.code,
    );
  const post = (body: object): Promise<{ id: string }> =>
    rest.post(Routes.channelMessages(channel.id), { body }) as never;
  const register = (...body: object[]): Promise<unknown> =>
    rest.put(Routes.applicationGuildCommands(standIn.world.applicationId, guild.id), { body });
  const deny = (bits: bigint): void => {
    channel.overwrites = [{ id: guild.id, type: 0, allow: "0", deny: bits.toString() }];
  };

  it("hides a channel that the bot may not see, and its messages", async () => {
    const { id } = await post({ content: "x" });
    deny(VIEW);
    for (const route of [Routes.channel(channel.id), Routes.channelMessage(channel.id, id)])
      expect(await code(rest.get(route))).toBe(50001);
    expect(await code(rest.delete(Routes.channelMessage(channel.id, id)))).toBe(50001);
  });

  it("shows no history, and no single message, to who may not read it", async () => {
    const { id } = await post({ content: "x" });
    deny(HISTORY);
    expect(await rest.get(Routes.channelMessages(channel.id))).toEqual([]);
    expect(await code(rest.get(Routes.channelMessage(channel.id, id)))).toBe(50013);
  });

  const button = { type: 2, style: ButtonStyle.Secondary, label: "Why", custom_id: "a" };
  const row = (each: object): object => ({ content: "x", components: [{ type: 1, components: [each] }] });
  it.each([
    ["a person allowed to be mentioned twice", { content: "x", allowed_mentions: { users: ["1", "1"] } }],
    ["an attachment without its file", { content: "x", attachments: [{ id: 0, filename: "a.png" }] }],
    ["enforcement of a nonce that is not there", { content: "x", enforce_nonce: true }],
    ["an empty embed", { embeds: [{ color: 1 }] }],
    ["a button without a label", row({ ...button, label: undefined })],
    ["a button without a style", row({ ...button, style: undefined })],
  ])("takes no message with %s", async (_, body) => {
    expect(await code(post(body))).toBe(50035);
  });

  const command = (options: object[], rest: object = {}): object => ({
    name: "plan",
    description: "Plans.",
    options,
    ...rest,
  });
  const option = (rest: object): object => ({ name: "part", description: "Which part.", type: 3, ...rest });
  const long = (count: number): object[] =>
    Array.from({ length: count }, (_, index) => ({ name: `${index}`.padEnd(100, "n"), value: `v${index}` }));
  it.each([
    ["two of one name", [command([]), command([])]],
    ["choices of one name", [command([option({ choices: [same("a", "1"), same("a", "2")] })])]],
    ["choices of one value", [command([option({ choices: [same("a", "1"), same("b", "1")] })])]],
    ["a choice without a value", [command([option({ choices: [same("a", "")] })])]],
    ["a text among numbers", [command([option({ type: 4, choices: [same("a", "1")] })])]],
    ["a least number for a text", [command([option({ min_value: 1 })])]],
    ["a range the wrong way round", [command([option({ type: 4, min_value: 3, max_value: 1 })])]],
    ["a text longer than six thousand", [command([option({ max_length: 6_001 })])]],
    [
      "more than eight thousand characters",
      [command(["a", "b", "c", "d"].map((name) => ({ ...option({ choices: long(25) }), name })))],
    ],
  ])("registers no commands with %s", async (_, body) => {
    expect(await code(register(...body))).toBe(50035);
    expect(await code(register(command([option({})])))).toBe("no error");
  });

  it("lets the bot have no commands where the invitation left them out, or where it is not", async () => {
    standIn.commands.forbidden.add(guild.id);
    expect(await code(register(command([])))).toBe(50001);
    standIn.commands.forbidden.clear();
    guild.members.delete(standIn.world.bot.id);
    expect(await code(register(command([])))).toBe(50001);
  });
});

function same(name: string, value: string): object {
  return { name, value };
}
