/** Commands are registered from the one table, only when they changed, typed as far as the platform can. */
import { ApplicationCommandOptionType as Type } from "discord.js";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { eventually } from "../../../eventually.js";
import { given, type SetUp, setUp } from "../set-up.js";
import { TABLE } from "../table.js";

describe("registering commands", () => {
  let here: SetUp;
  beforeEach(async () => {
    here = await setUp();
  });
  afterEach(() => here.stop());

  const guild = () => given(here.classes[0]).guild;
  const optionsOf = (name: string): Record<string, object> => {
    const command = guild().commands.find((each) => each.name === name);
    return Object.fromEntries((command?.options ?? []).map((each) => [each.name, each]));
  };

  it("puts every command of the table once, and nothing at the next start", async () => {
    expect(
      guild()
        .commands.map((each) => each.name)
        .sort(),
    ).toEqual(TABLE.map((each) => each.name).sort());
    await here.restart();
    expect(guild().commandPuts).toBe(1);
  });

  it("puts them again when the table differs from what stands", async () => {
    const [first] = guild().commands;
    if (first) first.description = "What it did last term";
    await here.restart();
    expect(guild().commandPuts).toBe(2);
    expect(guild().commands.every((each) => each.description.startsWith("What "))).toBe(true);
  });

  it("types each option, with suggestions, choices and ranges, required ones first", () => {
    const options = optionsOf("request");
    expect(Object.keys(options)[0]).toBe("target");
    expect(options).toMatchObject({
      target: { type: Type.String, autocomplete: true, required: true },
      exposure: { type: Type.Number, min_value: 0.1, max_value: 600 },
      frames: { type: Type.Integer, min_value: 1, max_value: 20 },
      note: { type: Type.String, max_length: 200 },
    });
    const filters = here.config.observatory.camera.filters.map((each) => each.name);
    expect((options.filter as { choices: { value: string }[] }).choices.map((each) => each.value)).toEqual(
      filters,
    );
    expect(optionsOf("when").request).toMatchObject({ type: Type.Integer, autocomplete: true });
    expect(optionsOf("cancel").person).toMatchObject({ type: Type.User });
  });

  it("hides staff commands from students, and shows them to the roles that the configuration names", () => {
    const { instructorRoleId, operatorRoleId } = given(here.classes[0]);
    const names = (roles: string[]): string[] =>
      here.standIn
        .join(guild(), "someone", roles)
        .offered()
        .map((each) => each.name)
        .sort();
    expect(names([])).toEqual(["queue", "request", "when", "withdraw"]);
    expect(names([instructorRoleId])).toContain("cancel");
    expect(names([operatorRoleId])).toContain("mark");
  });
});

describe("registering commands while the platform falters", () => {
  let here: SetUp;
  afterEach(() => here.stop());

  const start = async (status: number, times: number): Promise<void> => {
    here = await setUp({ autoStart: false });
    here.standIn.faults.plant("before", "PUT", /commands$/, { do: "status", status }, { times });
    await here.surface.start(here.host);
  };
  const registered = (): Promise<void> =>
    // The client itself lets some seconds pass before a new session.
    eventually(() => expect(given(here.classes[0]).guild.commands).toHaveLength(TABLE.length));

  it("says so once, and tries again until they stand", async () => {
    await start(500, 6);
    const said = (): string[] => here.said.filter((each) => each.includes("could not be registered"));
    expect(said()).toEqual([expect.stringMatching(/tries again by itself.*trouble of its own \(500\)/)]);
    await here.clock.moveTo(here.clock.now() + 5_000);
    await eventually(() => expect(here.standIn.faults.spent()).toBe(true));
    await eventually(async () => {
      await here.clock.moveTo(here.clock.now() + 15_000);
      expect(given(here.classes[0]).guild.commands).toHaveLength(TABLE.length);
    });
    expect(said()).toHaveLength(1);
  });

  it("says where to look when they are refused, and tries again at the next connection", async () => {
    await start(403, 1);
    expect(here.said.join("\n")).toMatch(
      /could not be registered.*may not have commands here: invite it again with https/,
    );
    await here.standIn.gateway.connected();
    here.standIn.gateway.dropForGood();
    await registered();
  });
});
