/** Who may do what: the matrix in full, checked through the front door. */
import { describe, expect, it } from "vitest";
import { commandTable } from "../../src/commands/table.js";
import type { Role } from "../../src/queue/request.js";
import { mira, okoro, openWorld, quill, read } from "./world.js";

const PEOPLE = { student: mira, operator: okoro, instructor: quill };

/** Least role for each command; everything else is for anyone. */
const LEAST: Record<string, Role> = {
  equipment: "operator",
  hold: "operator",
  resume: "operator",
  session: "instructor",
  mark: "operator",
  cancel: "operator",
  undo: "instructor",
  return: "instructor",
  rule: "instructor",
  announce: "instructor",
  results: "instructor",
  plan: "instructor",
  compare: "instructor",
};
const RANK = { student: 0, operator: 1, instructor: 2 };

const matrix = commandTable.flatMap(({ name }) =>
  (Object.keys(PEOPLE) as Role[]).map((role) => {
    const allowed = RANK[role] >= RANK[LEAST[name] ?? "student"];
    return [role, name, allowed] as const;
  }),
);

describe("Permission", () => {
  it.each(matrix)("of a %s for /%s: %s", async (role, name, allowed) => {
    const world = openWorld();
    const example = commandTable.find((each) => each.name === name)!.examples[0]!;
    const before = world.services.desk.state.lastEntryId;
    const reply = await world.type(example, PEOPLE[role]);
    const denied = /^\[refused\] Not done\nOnly an? .* can use \//.test(read(reply));
    expect(denied).toBe(!allowed);
    if (denied) expect(world.services.desk.state.lastEntryId - before).toBeLessThanOrEqual(1);
  });

  it("denied, comes with what can be done instead", async () => {
    expect(read(await openWorld().type("/cancel 1 cloud", mira))).toContain(
      "Only an operator or an instructor can use /cancel. To take back your own, type /withdraw and its number.",
    );
    expect(read(await openWorld().type("/hold cloud", mira))).toContain(
      "Only an operator or an instructor can use /hold. If someone is in danger, tell the staff in the room at once.",
    );
  });

  it("is checked before options, so that nothing is learned from the refusal", async () => {
    expect(read(await openWorld().use("cancel", { person: "zelda" }, mira))).toContain(
      "Only an operator or an instructor can use /cancel.",
    );
  });

  it("comes from the surface, never from what was typed", async () => {
    const world = openWorld();
    expect(
      read(await world.use("cancel", { all: "yes", reason: "x", role: "instructor", by: quill.id }, mira)),
    ).toContain("Only an operator or an instructor can use /cancel.");
  });
});
