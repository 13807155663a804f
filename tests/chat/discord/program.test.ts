/** The real program with a token in its environment: starts, answers, leaves in order, keeps the token to itself. */
import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { eventually } from "../../eventually.js";
import { configFor, given } from "./set-up.js";
import { type StandIn, startStandIn } from "./stand-in/stand-in.js";
import type { Channel, Guild } from "./stand-in/world.js";

const TOKEN = "MTIz.secret.of-the-bot";

describe("the program on Discord", () => {
  let standIn: StandIn;
  let guild: Guild;
  let channel: Channel;
  let folder: string;
  let configFile: string;
  beforeEach(async () => {
    standIn = await startStandIn({ token: TOKEN });
    guild = standIn.world.addGuild("Evening Survey");
    channel = standIn.world.addChannel(guild, "telescope");
    const staff = standIn.world.addRole(guild, "Instructor", 1n << 13n).id;
    folder = mkdtempSync(join(tmpdir(), "nightslate-program-"));
    const one = { classId: "evening-2", guild, channel, instructorRoleId: staff, operatorRoleId: staff };
    configFile = join(folder, "class.yaml");
    // JSON is YAML too.
    writeFileSync(configFile, JSON.stringify(configFor(standIn.apiUrl, [one])));
  });
  afterEach(() => standIn.stop());

  const run = (
    program: string,
    args: readonly string[],
    token = TOKEN,
  ): { child: ChildProcess; said: string[] } => {
    const said: string[] = [];
    const child = spawn(process.execPath, [program, "--config", configFile, ...args], {
      env: { ...process.env, DISCORD_TOKEN: token },
      stdio: ["ignore", "pipe", "pipe"],
    });
    for (const stream of [child.stdout, child.stderr])
      stream?.on("data", (chunk: Buffer) => said.push(chunk.toString()));
    return { child, said };
  };

  it("starts without a terminal, answers, and leaves in order; the token stands nowhere", async () => {
    const data = join(folder, "data");
    const { child, said } = run("dist/main.js", ["--no-terminal", "--no-room", "--data", data]);
    await eventually(() => expect(channel.messages[0]?.content).toContain("Conditions"));
    expect(said.join("")).toContain("To invite it");
    const mira = standIn.join(guild, "Mira");
    const reply = await mira.slash("tonight").settled;
    expect(given(reply.original).content).toMatch(/Tonight/);
    child.kill("SIGTERM");
    expect(await once(child, "exit")).toEqual([0, null]);
    const files = readdirSync(data, { recursive: true, withFileTypes: true }).filter((each) => each.isFile());
    const kept = files.map((each) => readFileSync(join(each.parentPath, each.name), "latin1"));
    expect([...kept, ...said].join("\n")).not.toContain(TOKEN);
    expect(kept.length).toBeGreaterThan(1);
  });

  it("ends with one sentence when the token is wrong", async () => {
    const { child, said } = run(
      "dist/main.js",
      ["--no-terminal", "--no-room", "--data", join(folder, "d")],
      "wrong",
    );
    expect(await once(child, "exit")).toEqual([1, null]);
    expect(said.join("").trim().split("\n").at(-1)).toMatch(/^Discord refused the token.*Reset Token/);
  });

  it("checks the set-up by a command of its own", async () => {
    const before = run("dist/check.js", []);
    expect(await once(before.child, "exit")).toEqual([0, null]);
    expect(before.said.join("")).toMatch(
      /^right .*configuration[\s\S]*^note {3}The commands are not registered yet/m,
    );
    const wrong = run("dist/check.js", [], "wrong");
    expect(await once(wrong.child, "exit")).toEqual([1, null]);
    expect(wrong.said.join("")).toMatch(/^WRONG {2}Discord refused the token/m);
  });
});
