/** The class list on a chat platform, whose accounts are numbers: who is who, and who can be named. */
import { describe, expect, it } from "vitest";
import type { Asker, RawOptions } from "../../src/commands/command.js";
import { dispatch } from "../../src/commands/dispatch.js";
import { accountOf, groupOf } from "../../src/commands/people/people.js";
import type { Role } from "../../src/queue/request.js";
import { openWorld, read } from "./world.js";

const IN_CHAT = { surface: "discord", channel: "234567890123456789" };
const account = (id: string, name: string, role: Role = "student"): Asker => ({
  id: `discord:${id}`,
  name,
  classId: "evening-2",
  role,
});
const staff = account("100000000000000001", "Prof. Quill", "instructor");
const first = account("100000000000000002", "mira");
const second = account("100000000000000003", "Mira");

describe("On a chat platform the class list", () => {
  const open = async () => {
    const { services } = openWorld();
    const type = async (asker: Asker, command: string, options: RawOptions = {}): Promise<string> =>
      read(await dispatch({ command, options, asker, from: IN_CHAT, onceKey: null }, services));
    await type(first, "tonight");
    const groups = (members: string): Promise<string> =>
      type(staff, "session", { action: "groups", group: "Elm", members });
    return { ...services, type, groups };
  };

  it("means by a student's name the one account that goes by it, and the roster has it once", async () => {
    const { type, desk, config } = await open();
    await type(second, "tonight");
    expect(groupOf(first.id, "evening-2", desk.state, config)).toBe("Alder");
    expect(groupOf(second.id, "evening-2", desk.state, config)).toBeNull();
    const roster = await type(staff, "session", { action: "roster" });
    expect(roster).toContain("  mira | Alder | yes | 0");
    expect(roster).not.toContain("Mira | Alder | not yet");
    expect(roster).toContain("  Tomas | Alder | not yet | 0");
  });

  it("lets a group be set by name and by mention", async () => {
    const { type, groups, desk } = await open();
    await type(second, "tonight");
    expect(await groups(`Prof. Quill, <@${accountOf(first.id)}><@!${accountOf(second.id)}>`)).toContain(
      "It has 3 members now",
    );
    expect(desk.state.groups.get("evening-2")?.get("Elm")).toEqual([staff.id, first.id, second.id]);
    expect(await groups("Mira, Prof. Quill")).toContain("More than one person is called");
  });

  it.each([
    ["Prof. Quill, Tomas", "Tomas has typed no command in your class yet, so nothing of theirs is here;"],
    ["<@100000000000000009>", "That person has typed no command in your class yet"],
    ["Zelda", 'There is nobody called "Zelda" in your class'],
  ])("puts nobody into a group who is no account yet: %s", async (members, sentence) => {
    const { groups, desk } = await open();
    expect(await groups(members)).toContain(sentence);
    expect(desk.state.groups.get("evening-2")).toBeUndefined();
  });
});
