/** The stand-in behaves as documented, seen by the real client. */
import { Client, type DiscordAPIError, Events, GatewayIntentBits, Routes } from "discord.js";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { HOUR, MINUTE } from "../../../../src/base/units.js";
import { ManualClock } from "../../../../src/tools/manual-clock.js";
import { eventually } from "../../../eventually.js";
import { NONCE_LIFE_MS } from "./messages.js";
import type { Person } from "./people.js";
import { type StandIn, startStandIn } from "./stand-in.js";
import type { Channel, Guild } from "./world.js";

const START = Date.UTC(2026, 10, 25, 2);

describe("the stand-in, seen by the real client", () => {
  let clock: ManualClock;
  let standIn: StandIn;
  let guild: Guild;
  let channel: Channel;
  let mira: Person;
  let client: Client<true>;

  beforeEach(async () => {
    clock = new ManualClock(START);
    standIn = await startStandIn({ clock, heartbeatIntervalMs: 200 });
    guild = standIn.world.addGuild("Evening Survey");
    channel = standIn.world.addChannel(guild, "telescope");
    mira = standIn.join(guild, "mira");
    const starting = new Client({
      intents: [GatewayIntentBits.Guilds],
      rest: { api: standIn.apiUrl, retries: 0, timeout: 500 },
    });
    const ready = new Promise((done) => starting.once(Events.ClientReady, done));
    await starting.login(standIn.token);
    await ready;
    client = starting as Client<true>;
  });
  afterEach(async () => {
    await client.destroy();
    await standIn.stop();
  });

  const post = (body: object): Promise<{ id: string; content: string }> =>
    client.rest.post(Routes.channelMessages(channel.id), { body }) as never;
  const code = (promise: Promise<unknown>): Promise<number | string> =>
    promise.then(
      () => "no error",
      (error: DiscordAPIError) => error.code ?? error.name,
    );

  it("lets it log in with least intents and know its server and channel", () => {
    expect(client.user.username).toBe("nightslate");
    expect(client.guilds.cache.get(guild.id)?.channels.cache.has(channel.id)).toBe(true);
    expect(standIn.gateway.identified[0]?.intents).toBe(GatewayIntentBits.Guilds);
  });

  it("keeps the connection alive by heartbeats, and the client notices when they stop", async () => {
    await eventually(() => expect(standIn.gateway.heartbeats).toBeGreaterThan(2));
    const back = new Promise((done) => client.once(Events.ShardResume, done));
    standIn.gateway.answersHeartbeats = false;
    await eventually(() => expect(standIn.gateway.isConnected()).toBe(false));
    standIn.gateway.answersHeartbeats = true;
    await back;
  });

  it("answers an enforced nonce with the first message, for the past few minutes only", async () => {
    const first = await post({ content: "one", nonce: "n1", enforce_nonce: true });
    const second = await post({ content: "two", nonce: "n1", enforce_nonce: true });
    expect(second).toMatchObject({ id: first.id, content: "one" });
    await post({ content: "bare nonce", nonce: "n1" });
    await clock.moveTo(START + NONCE_LIFE_MS + MINUTE);
    await post({ content: "later", nonce: "n1", enforce_nonce: true });
    expect(channel.messages.map((each) => each.content)).toEqual(["one", "bare nonce", "later"]);
  });

  it("notifies only people who are both named and allowed", async () => {
    const tomas = standIn.join(guild, "tomas");
    await post({
      content: `${mira.mention} ${tomas.mention} @everyone`,
      allowed_mentions: { parse: [], users: [mira.userId] },
    });
    expect(channel.messages[0]).toMatchObject({ mentions: [mira.userId], mentionEveryone: false });
    await post({ content: `${tomas.mention} @everyone` });
    expect(channel.messages[1]).toMatchObject({ mentions: [tomas.userId], mentionEveryone: true });
  });

  it("refuses by the documented codes: access, permission, lengths, unknown things, direct messages", async () => {
    expect(await code(post({ content: "x".repeat(2001) }))).toBe(50035);
    expect(await code(post({ content: "" }))).toBe(50006);
    channel.overwrites = [{ id: guild.id, type: 0, allow: "0", deny: (1n << 11n).toString() }];
    expect(await code(post({ content: "x" }))).toBe(50013);
    channel.overwrites = [{ id: guild.id, type: 0, allow: "0", deny: (1n << 10n).toString() }];
    expect(await code(post({ content: "x" }))).toBe(50001);
    expect(await code(client.rest.get(Routes.channel("123456789012345678")))).toBe(10003);
    standIn.world.refusesDirect.add(mira.userId);
    const direct = (await client.rest.post(Routes.userChannels(), {
      body: { recipient_id: mira.userId },
    })) as { id: string };
    expect(await code(client.rest.post(Routes.channelMessages(direct.id), { body: { content: "x" } }))).toBe(
      50007,
    );
  });

  it("stores a post whose answer is lost, and the client with no retries of its own says so", async () => {
    standIn.faults.plant("after", "POST", /messages$/, { do: "reset" });
    await expect(post({ content: "kept" })).rejects.toThrow();
    standIn.faults.plant("after", "POST", /messages$/, { do: "stall" });
    await expect(post({ content: "kept too" })).rejects.toThrow();
    expect(channel.messages).toHaveLength(2);
  });

  it("takes one answer to an interaction, within three seconds, and edits for fifteen minutes", async () => {
    const answer = (interaction: { id: string; token: string }, body: object): Promise<unknown> =>
      client.rest.post(Routes.interactionCallback(interaction.id, interaction.token), { body, auth: false });
    const raw = (name: string) => mira.slashRaw(name, []);
    const first = raw("when");
    await answer(first, { type: 5, data: { flags: 64 } });
    expect(await code(answer(first, { type: 5 }))).toBe(40060);
    const edit = (): Promise<unknown> =>
      client.rest.patch(Routes.webhookMessage(client.application.id, first.token), {
        body: { content: "at 21:40" },
        auth: false,
      });
    await edit();
    expect((await first.settled).original?.content).toBe("at 21:40");
    expect(channel.messages).toHaveLength(0);
    const late = raw("when");
    await clock.moveTo(clock.now() + 3_001);
    expect(await code(answer(late, { type: 5 }))).toBe(10062);
    await clock.moveTo(clock.now() + HOUR);
    expect(await code(edit())).toBe(50027);
  });

  it("replays what was missed to a session that resumes, and starts a new one when it cannot", async () => {
    const seen: string[] = [];
    client.ws.on("INTERACTION_CREATE" as never, (data: { id: string }) => seen.push(data.id));
    const resumed = new Promise((done) => client.once(Events.ShardResume, done));
    standIn.gateway.drop();
    const missed = mira.slashRaw("when", []);
    await resumed;
    expect(seen).toEqual([missed.id]);
    const again = new Promise((done) => client.once(Events.ShardReady, done));
    standIn.gateway.dropForGood();
    await again;
    expect(standIn.gateway.identified).toHaveLength(2);
  });

  it("completes a deferred answer by the first further message", async () => {
    const asked = mira.slashRaw("when", []);
    await client.rest.post(Routes.interactionCallback(asked.id, asked.token), {
      body: { type: 5, data: { flags: 64 } },
      auth: false,
    });
    const further = (content: string): Promise<unknown> =>
      client.rest.post(Routes.webhook(client.application.id, asked.token), {
        body: { content },
        auth: false,
      });
    await further("at 21:40");
    await further("for all");
    expect(asked.original?.content).toBe("at 21:40");
    expect(asked.followUps.map((each) => each.content)).toEqual(["for all"]);
    expect(channel.messages.map((each) => each.content)).toEqual(["for all"]);
  });

  it("resumes after an invalid session that says so, and begins anew after one that timed out", async () => {
    const resumed = new Promise((done) => client.once(Events.ShardResume, done));
    standIn.gateway.invalidate(true);
    await resumed;
    const again = new Promise((done) => client.once(Events.ShardReady, done));
    standIn.gateway.timeOut();
    await again;
    expect(standIn.gateway.identified).toHaveLength(2);
  });

  it("takes files by multipart form up to the size limit", async () => {
    standIn.messages.uploadLimitBytes = 1_000;
    const upload = (size: number): Promise<unknown> =>
      client.rest.post(Routes.channelMessages(channel.id), {
        body: { content: "frame", attachments: [{ id: 0, description: "A black frame" }] },
        files: [{ name: "frame.png", data: Buffer.alloc(size) }],
      });
    await upload(1_000);
    expect(channel.messages[0]?.attachments[0]).toMatchObject({
      filename: "frame.png",
      description: "A black frame",
      size: 1_000,
    });
    expect(await code(upload(1_001))).toBe(40005);
  });
});
