/** Whatever arrives: one sentence, nothing lost, nothing crashes, nothing unclean is kept. */
import { describe, expect, it } from "vitest";
import type { RawOptions } from "../../src/commands/command.js";
import type { Reply } from "../../src/commands/reply.js";
import { commandTable } from "../../src/commands/table.js";
import { HOSTILE_TEXTS } from "./hostile-texts.js";
import { mira, openWorld, quill, read, text, type World } from "./world.js";

const UNCLEAN = /[\p{Cc}\p{Cs}\u200b\u200e\u200f\u2028-\u202e\u2060-\u2069\ufeff]/u;

function checkReply(reply: Reply, world: World): void {
  expect(world.faults).toEqual([]);
  const said = [
    reply.title,
    ...reply.lines.map(text),
    ...(reply.fields ?? []).map((each) => text(each.value)),
  ];
  for (const line of said) {
    expect(line).not.toMatch(UNCLEAN);
    expect(line.length).toBeLessThan(700);
  }
  if (reply.tone === "refused") expect(reply.lines[0]).toBeDefined();
}

function checkKept(world: World): void {
  const { requests } = world.services.desk.state;
  for (const each of requests.values()) {
    expect(each.note ?? "").not.toMatch(UNCLEAN);
    expect([...(each.note ?? "")].length).toBeLessThanOrEqual(200);
    expect(each.exposureSeconds).toBeGreaterThan(0);
    expect(each.exposureSeconds).toBeLessThanOrEqual(600);
    expect(Number.isInteger(each.frames)).toBe(true);
  }
}

describe.each(Object.entries(HOSTILE_TEXTS))("%s", (_, hostile) => {
  it("typed after any command is answered", async () => {
    const world = openWorld();
    await world.type("/request M31 clear 20");
    for (const { name } of commandTable) checkReply(await world.type(`/${name} ${hostile}`, quill), world);
    checkReply(await world.type(hostile), world);
    checkKept(world);
  });

  it("as any option of any command is answered", async () => {
    const world = openWorld();
    await world.type("/request M31 clear 20");
    for (const { name, options } of commandTable) {
      for (const option of options) {
        const others: RawOptions = name === "request" && option.name !== "target" ? { target: "M33" } : {};
        checkReply(await world.use(name, { ...others, [option.name]: hostile }, quill), world);
      }
    }
    checkKept(world);
  });

  it("as the name of a command or an option is answered", async () => {
    const world = openWorld();
    checkReply(await world.use(hostile, {}, mira), world);
    checkReply(await world.use("when", { [hostile]: hostile }, mira), world);
  });
});

describe("An old or broken client's values", () => {
  it.each([
    ["null", null],
    ["true", true],
    ["an object", { a: 1 }],
    ["a list", ["M13"]],
    ["not a number", Number.NaN],
    ["infinity", Number.POSITIVE_INFINITY],
    ["a huge number", 1e300],
    ["a tiny number", 1e-300],
    ["a fraction", 1.5],
    ["a negative number", -1],
  ])("%s is answered for every option", async (_, value) => {
    const world = openWorld();
    await world.type("/request M31 clear 20");
    for (const { name, options } of commandTable) {
      for (const option of options) {
        const others = name === "request" && option.name !== "target" ? { target: "M33" } : {};
        const raw = { ...others, [option.name]: value } as unknown as RawOptions;
        checkReply(await world.use(name, raw, quill), world);
      }
    }
    checkKept(world);
  });
});

describe("Text that is too long", () => {
  it("is refused in one sentence that names the limit", async () => {
    const world = openWorld();
    const note = await world.use("request", { target: "M31", note: "n".repeat(10_000) });
    expect(read(note)).toBe(
      "[refused] Not done\nThat is 10,000 characters; the note may have at most 200. Say it in fewer words.",
    );
    const target = await world.use("request", { target: "M".repeat(10_000) });
    expect(read(target)).toBe(
      "[refused] Not done\nThat is 10,000 characters; the target may have at most 120. Say it in fewer words.",
    );
    expect(world.services.desk.state.requests.size).toBe(0);
  });
});
