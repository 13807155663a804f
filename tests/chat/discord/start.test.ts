/** Starting on the platform: least intents, an exact invite link, and one sentence for whatever is wrong. */
import { GatewayIntentBits } from "discord.js";
import { afterEach, describe, expect, it } from "vitest";
import type { Parcel } from "../../../src/chat/surface.js";
import { eventually } from "../../eventually.js";
import type { SetUp } from "./set-up.js";
import { configFor, setUp } from "./set-up.js";

const VIEW_CHANNEL = 1n << 10n;
const SEND_MESSAGES = 1n << 11n;
/** View Channel, Send Messages, Embed Links, Attach Files, Read Message History. */
const NEEDED = VIEW_CHANNEL | SEND_MESSAGES | (1n << 14n) | (1n << 15n) | (1n << 16n);

describe("starting", () => {
  let here: SetUp;
  afterEach(() => here.stop());

  it("asks for no intent but servers, and prints an invite link with exactly the permissions needed", async () => {
    here = await setUp();
    expect(here.standIn.gateway.identified.map((each) => each.intents)).toEqual([
      GatewayIntentBits.Guilds | GatewayIntentBits.DirectMessages,
    ]);
    const link = new URL(/https:\S+/.exec(here.said.join("\n"))?.[0] ?? "");
    expect(Object.fromEntries(link.searchParams)).toEqual({
      client_id: here.standIn.world.applicationId,
      scope: "bot applications.commands",
      permissions: NEEDED.toString(),
    });
  });

  it("says nothing else when all is well, and never shows the token", async () => {
    here = await setUp();
    expect(here.said).toHaveLength(1);
    expect([...here.said, ...here.logged].join("\n")).not.toContain(here.standIn.token);
  });

  it("says where to get a new token when it is wrong", async () => {
    here = await setUp({ autoStart: false, botToken: "wrong.secret" });
    await expect(here.surface.start(here.host)).rejects.toThrow(/Bot, press Reset Token.*DISCORD_TOKEN/);
    expect([...here.said, ...here.logged].join("\n")).not.toContain("wrong.secret");
  });

  it("names the missing permission and where to give it", async () => {
    here = await setUp({
      before: (_, [first]) => {
        const deny = SEND_MESSAGES.toString();
        first?.channel.overwrites.push({ id: first.guild.id, type: 0, allow: "0", deny });
      },
    });
    expect(here.said.join("\n")).toMatch(/lacks Send Messages\. In Discord open #telescope → Edit Channel/);
  });

  it("names the setting when the channel does not exist", async () => {
    here = await setUp({
      configure: (config) => {
        const [guild] = config.discord.guilds;
        if (guild) guild.channelId = "123456789012345678";
        return config;
      },
    });
    expect(here.said.join("\n")).toMatch(/no such channel.*Copy Channel ID.*channelId/);
  });

  it("shows the invite link for a server it is not in, and takes it up when invited", async () => {
    here = await setUp({
      before: (standIn, [first]) => first?.guild.members.delete(standIn.world.bot.id),
    });
    expect(here.said.join("\n")).toMatch(/not in the server .*oauth2\/authorize/);
    const { world, gateway } = here.standIn;
    const guild = here.classes[0]?.guild;
    if (!guild) throw new Error("no class");
    world.addMember(guild, world.bot.id);
    gateway.admit(guild);
    await eventually(() => expect(guild.commands.length).toBeGreaterThan(0));
  });

  it("goes on without the platform when it cannot be reached, and comes back by itself", async () => {
    here = await setUp({ autoStart: false });
    here.standIn.faults.plant("before", "GET", /gateway\/bot/, { do: "reset" });
    await here.surface.start(here.host);
    expect(here.said.join("\n")).toMatch(/could not be reached.*rest of Nightslate works/);
    expect(await here.surface.deliver(parcelTo(here))).toMatchObject({ result: "retry" });
    await here.clock.moveTo(here.clock.now() + 2_000);
    await eventually(() => expect(here.said.join("\n")).toMatch(/logged in/));
  });

  it("does not wait when only web sockets are refused, says so, and comes back by itself", async () => {
    here = await setUp({ autoStart: false });
    here.standIn.gateway.refuseConnections = true;
    const started = here.surface.start(here.host);
    await eventually(() => expect(here.standIn.log.join()).toMatch(/gateway\/bot/));
    await here.clock.moveTo(here.clock.now() + 15_000);
    await started;
    expect(here.said).toEqual([
      expect.stringMatching(/live connection does not open: a firewall.*rest of Nightslate works/),
    ]);
    expect(await here.surface.deliver(parcelTo(here))).toMatchObject({ result: "retry" });
    here.standIn.gateway.refuseConnections = false;
    await eventually(() => expect(here.said.join("\n")).toMatch(/logged in/));
  });

  it("says so when its log-ins of the day are used up", async () => {
    here = await setUp({ autoStart: false });
    here.standIn.gateway.sessionsLeft = 0;
    await here.surface.start(here.host);
    expect(here.said.join("\n")).toMatch(/no more log-ins until tomorrow.*rest of Nightslate works/);
  });

  it("lets go of a connection that does not open when everything ends", async () => {
    here = await setUp({ autoStart: false });
    here.standIn.gateway.refuseConnections = true;
    const started = here.surface.start(here.host);
    await eventually(() => expect(here.standIn.log.join()).toMatch(/gateway\/bot/));
    await here.surface.stop();
    await started;
    expect(here.said).toEqual([]);
  });

  it("says that a token is malformed without asking the platform", async () => {
    for (const botToken of ["“abc.def”", "токен", "ab\ncd"]) {
      here = await setUp({ autoStart: false, botToken });
      await expect(here.surface.start(here.host)).rejects.toThrow(/malformed.*Reset Token.*Copy/);
      expect(here.standIn.log).toEqual([]);
      if (botToken !== "ab\ncd") await here.stop();
    }
  });

  it("serves the other classes when one server is missing", async () => {
    here = await setUp({
      classIds: ["evening-2", "morning-1"],
      before: (standIn, [first]) => first?.guild.members.delete(standIn.world.bot.id),
    });
    expect(here.classes[1]?.guild.commands.length).toBeGreaterThan(0);
  });

  it("takes an address for a proxy only in the form that the client understands", () => {
    expect(() => configFor("http://127.0.0.1:1/api/v10", [])).toThrow(/ends in \/api/);
    expect(() => configFor("http://127.0.0.1:1/api/", [])).toThrow(/ends in \/api/);
  });
});

function parcelTo({ classes }: SetUp): Parcel {
  const to = { surface: "discord", channel: classes[0]?.channel.id ?? "" };
  return { key: "k", to, notices: [], maybeSent: false };
}
