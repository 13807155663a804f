/** The check command: what is right, what is wrong, where to mend it. */
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { checkDiscord } from "../../../../src/chat/discord/set-up/check.js";
import type { Finding } from "../../../../src/chat/discord/set-up/finding.js";
import { given, type SetUp, setUp } from "../set-up.js";
import { TABLE } from "../table.js";

describe("the check", () => {
  let here: SetUp;
  beforeEach(async () => {
    here = await setUp();
  });
  afterEach(() => here.stop());

  const check = (token: string | undefined = here.standIn.token): Promise<Finding[]> =>
    checkDiscord({
      config: here.config,
      token,
      source: {
        table: TABLE,
        filters: here.config.observatory.camera.filters.map((each) => each.name),
      },
    });
  const wrong = async (token?: string): Promise<string> =>
    (await check(token))
      .filter((each) => each.is === "wrong")
      .map((each) => each.sentence)
      .join("\n");
  const first = () => given(here.classes[0]);

  it("finds nothing wrong where nothing is, and says what it looked at", async () => {
    const findings = await check();
    expect(findings.filter((each) => each.is === "wrong")).toEqual([]);
    const said = findings.map((each) => each.sentence).join("\n");
    for (const word of [
      /token is good/,
      /live connection .* opens/,
      /meets in the server/,
      /#telescope: Nightslate may/,
      /role Instructor/,
      /All \d+ commands are registered/,
    ])
      expect(said).toMatch(word);
  });

  it("says where to get a token when there is none, and a new one when it is wrong", async () => {
    expect(
      (
        await checkDiscord({ config: here.config, token: undefined, source: { table: TABLE, filters: [] } })
      )[0],
    ).toMatchObject({ is: "wrong", sentence: expect.stringMatching(/no DISCORD_TOKEN.*Reset Token/) });
    expect(await wrong("not.the.token")).toMatch(/refused the token.*Reset Token/);
    expect(await wrong("not.the.token")).not.toContain("not.the.token");
  });

  it("says that a token is malformed, and does not send it", async () => {
    here.standIn.log.length = 0;
    for (const token of ["“abc.def”", "токен", "ab\nc"]) {
      expect(await wrong(token)).toMatch(/malformed.*press Reset Token, then Copy/);
    }
    expect(here.standIn.log).toEqual([]);
  });

  it("tries the web socket, and names the firewall when only that is refused", async () => {
    here.standIn.gateway.refuseConnections = true;
    expect(await wrong()).toMatch(/live connection does not open: a firewall may block web sockets/);
  });

  it("says that @everyone is no role for staff, and not to give it a permission", async () => {
    const [place] = here.config.discord.guilds;
    if (place) place.instructorRoleIds = [first().guild.id];
    expect(await wrong()).toMatch(/@everyone cannot be an instructor role.*instructorRoleIds/);
    expect(await wrong()).not.toMatch(/turn on Manage Messages|students may not/);
  });

  it("notices that students may not use commands in the channel, unless a role of theirs may", async () => {
    const bit = (1n << 31n).toString();
    first().channel.overwrites.push({ id: first().guild.id, type: 0, allow: "0", deny: bit });
    expect(await wrong()).toMatch(/#telescope: students may not use commands.*Use Application Commands/);
    const role = here.standIn.world.addRole(first().guild, "Students");
    first().channel.overwrites.push({ id: role.id, type: 0, allow: bit, deny: "0" });
    expect(await wrong()).toBe("");
  });

  it("names each missing permission and the place to give it", async () => {
    const deny = ((1n << 15n) | (1n << 16n)).toString();
    first().channel.overwrites.push({ id: first().guild.id, type: 0, allow: "0", deny });
    expect(await wrong()).toMatch(
      /#telescope: Nightslate lacks Attach Files, Read Message History\. In Discord open #telescope → Edit Channel → Permissions/,
    );
  });

  it("sees that a channel overwrite for its own role gives back what @everyone is denied", async () => {
    const bit = (1n << 11n).toString();
    first().channel.overwrites.push(
      { id: first().guild.id, type: 0, allow: "0", deny: bit },
      { id: here.standIn.world.bot.id, type: 1, allow: bit, deny: "0" },
    );
    expect(await wrong()).toBe("");
  });

  it("names a role that does not exist, and one that would not see the staff commands", async () => {
    given(first().guild.roles.get(first().instructorRoleId)).permissions = "0";
    first().guild.roles.delete(first().operatorRoleId);
    expect(await wrong()).toMatch(/role Instructor would not see.*turn on Manage Messages/);
    expect(await wrong()).toMatch(/no role \d+.*Copy Role ID.*operatorRoleIds/);
  });

  it("tells a server it is not in from a channel of another server", async () => {
    first().guild.members.delete(here.standIn.world.bot.id);
    expect(await wrong()).toMatch(/not in the server.*oauth2\/authorize/);
  });

  it("says when the commands are not those of the table", async () => {
    first().guild.commands = [];
    const said = (await check()).map((each) => each.sentence).join("\n");
    expect(said).toMatch(/not registered yet: npm start does it/);
  });

  it("says so when the platform cannot be reached", async () => {
    here.standIn.faults.plant("before", "GET", /users\/@me/, { do: "reset" }, { times: 3 });
    expect(await wrong()).toMatch(/could not be reached.*see whether this computer is online/i);
    expect(await wrong()).not.toMatch(/tries again/);
  });
});
