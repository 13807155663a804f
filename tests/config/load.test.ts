/** Whatever is wrong with a configuration, the answer names the place, the value and what is allowed. */
import { readFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { fileURLToPath } from "node:url";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { Refusal } from "../../src/base/refusal.js";
import { loadConfig, parseConfig } from "../../src/config/load.js";

const EXAMPLE = fileURLToPath(new URL("../../config/tern-hollow.yaml", import.meta.url));
const GOOD = readFileSync(EXAMPLE, "utf8");

/** The example with one piece of text replaced. */
function withChange(from: string, to: string): string {
  expect(GOOD).toContain(from);
  return GOOD.replace(from, to);
}

/** The line number of a piece of the example. */
const lineOf = (piece: string): number => GOOD.slice(0, GOOD.indexOf(piece)).split("\n").length;

function refusalOf(text: string): Refusal {
  try {
    parseConfig(text, "mine.yaml");
  } catch (error) {
    expect(error).toBeInstanceOf(Refusal);
    return error as Refusal;
  }
  throw new Error("this configuration was accepted");
}

describe("the example", () => {
  test("loads, and what it leaves out has its default", () => {
    const config = loadConfig(EXAMPLE);
    expect(config.observatory.site.timeZone).toBe("America/Chicago");
    expect(config.classes[0]?.students).toHaveLength(24);
    expect(config.forecast.runs).toBe(300);
  });

  test("a class, a site and machines are enough; everything else has a default", () => {
    const config = parseConfig(GOOD.slice(0, GOOD.indexOf("\nqueue:")), "mine.yaml");
    expect(config.queue).toMatchObject({ rule: "highest-first", waitingPerPerson: 5 });
    expect(config.dataFolder).toBe("data");
  });
});

describe("a key at fault is named with its line, the value found and what is allowed", () => {
  test("no tiers at all is one fault, not one for each class too", () => {
    const said = refusalOf(withChange("tiers: [staff, class, guests]", "tiers: []")).message;
    expect(said).toContain("tiers: [] is not allowed; allowed: at least 1 entry.");
    expect(said).not.toContain("staffTier");
  });

  test.each([
    [
      "a mount outside its dome",
      "{ north: 0.1, east: 0, up: -0.2 }",
      "{ north: 3, east: 0, up: 0 }",
      'observatory.dome.mountOffsetMetres: {"north":3,"east":0,"up":0} is not allowed; allowed: mount and tube within the dome, less than 2.25 m from its centre together.',
    ],
    [
      "a tube outside its dome",
      "tubeOffsetMetres: 0 ",
      "tubeOffsetMetres: 2.2 ",
      "observatory.dome.tubeOffsetMetres: 2.2 is not allowed; allowed: mount and tube within the dome, less than 2.25 m from its centre together.",
    ],
    [
      "too large",
      "latitudeDegrees: 42.5",
      "latitudeDegrees: 95",
      "observatory.site.latitudeDegrees: 95 is not allowed; allowed: at most 90.",
    ],
    [
      "too small",
      "speed: 60 ",
      "speed: 0 ",
      "telescope.practice.speed: 0 is not allowed; allowed: at least 1.",
    ],
    [
      "not positive",
      "diameterMetres: 4.5",
      "diameterMetres: 0",
      "observatory.dome.diameterMetres: 0 is not allowed; allowed: more than 0.",
    ],
    [
      "text for a number",
      "latitudeDegrees: 42.5",
      "latitudeDegrees: north",
      'observatory.site.latitudeDegrees: "north" is not allowed; allowed: a number.',
    ],
    [
      "no number",
      "latitudeDegrees: 42.5",
      "latitudeDegrees: .nan",
      "observatory.site.latitudeDegrees: NaN is not allowed; allowed: a number.",
    ],
    [
      "a boundless number",
      "elevationMetres: 950",
      "elevationMetres: .inf",
      "observatory.site.elevationMetres: Infinity is not allowed; allowed: a number.",
    ],
    [
      "a fraction for a count",
      "mostFrames: 20",
      "mostFrames: 2.5",
      "queue.mostFrames: 2.5 is not allowed; allowed: a whole number.",
    ],
    [
      "a number for text",
      "dataFolder: data",
      "dataFolder: 7",
      "dataFolder: 7 is not allowed; allowed: text.",
    ],
    [
      "an unknown choice",
      "kind: equatorial-fork",
      "kind: tripod",
      'observatory.mount.kind: "tripod" is not allowed; allowed: one of equatorial-fork, german-equatorial, altazimuth.',
    ],
    [
      "an unknown rule",
      "rule: highest-first",
      "rule: loudest",
      'queue.rule: "loudest" is not allowed; allowed: one of highest-first, first-come, setting-first, one-each, planned.',
    ],
    [
      "an unknown time zone",
      "timeZone: America/Chicago",
      "timeZone: Nowhere/Else",
      'observatory.site.timeZone: "Nowhere/Else" is not allowed; allowed: an IANA zone such as America/Chicago.',
    ],
    [
      "no clock time",
      'quietFrom: "23:00"',
      'quietFrom: "25:00"',
      'notices.quietFrom: "25:00" is not allowed; allowed: a time such as 23:00.',
    ],
    [
      "no cron expression",
      '"30 8 * * *"',
      '"every day"',
      'notices.morningSummaryAt: "every day" is not allowed; allowed: five fields such as "30 8 * * *": minute, hour, day, month, weekday.',
    ],
    [
      "a Sun limit that protects nobody",
      "sunSeparationDegrees: 30",
      "sunSeparationDegrees: 2",
      "observatory.limits.sunSeparationDegrees: 2 is not allowed; allowed: at least 10.",
    ],
    [
      "a tier that is not listed",
      "tier: class",
      "tier: nobody",
      'classes.1.tier: "nobody" is not allowed; allowed: one of staff, class, guests.',
    ],
    [
      "a staff tier that is not listed",
      "staffTier: staff",
      "staffTier: gods",
      'staffTier: "gods" is not allowed; allowed: one of staff, class, guests.',
    ],
    [
      "a tier listed twice",
      "tiers: [staff, class, guests]",
      "tiers: [staff, class, class]",
      'tiers.3: "class" is not allowed; allowed: a different name for each tier.',
    ],
    [
      "an id given to two people",
      "id: tomas",
      "id: mira",
      'classes.1.students.2.id: "mira" is not allowed; allowed: a different id for each person.',
    ],
    [
      "a filter slot used twice",
      "name: B, slot: 1",
      "name: B, slot: 0",
      "observatory.camera.filters.2.slot: 0 is not allowed; allowed: a different slot for each filter.",
    ],
    [
      "a filter name used twice",
      "name: B, slot: 1",
      "name: Clear, slot: 1",
      'observatory.camera.filters.2.name: "Clear" is not allowed',
    ],
    [
      "an id that cannot be typed",
      "id: tomas",
      "id: Tom Ás",
      'classes.1.students.2.id: "Tom Ás" is not allowed; allowed: lower-case letters, digits and dashes.',
    ],
    [
      "a name that is too long",
      "name: Mira,",
      `name: ${"x".repeat(10_000)},`,
      "… is not allowed; allowed: at most 40 characters.",
    ],
    [
      "an empty folder name",
      "dataFolder: data",
      'dataFolder: ""',
      'dataFolder: "" is not allowed; allowed: at least 1 character.',
    ],
    [
      "a group where a list belongs",
      "tiers: [staff, class, guests]",
      "tiers: { staff: 1 }",
      'tiers: {"staff":1} is not allowed; allowed: a list.',
    ],
    [
      "a misspelt key",
      "handOverSeconds: 6",
      "handoverSecond: 6",
      "observatory.handoverSecond: there is no such key; did you mean handOverSeconds?",
    ],
    [
      "a key from elsewhere",
      "staffTier: staff",
      "staffTier: staff\ngravity: 9.8",
      "gravity: there is no such key; these are possible: observatory, tiers,",
    ],
  ])("%s", (_, from, to, words) => {
    const refusal = refusalOf(withChange(from, to));
    expect(refusal.code).toBe("config-invalid");
    expect(refusal.message).toContain(words);
    expect(refusal.message).toMatch(/^mine\.yaml needs mending:\n {2}line \d+, /);
  });

  test("by the line on which it stands", () => {
    const piece = "readOutSeconds: 4";
    const { message } = refusalOf(withChange(piece, "readOutSeconds: -4"));
    expect(message).toContain(`line ${lineOf(piece)}, observatory.camera.readOutSeconds: -4`);
  });

  test("a missing key by the group that should hold it", () => {
    const { message } = refusalOf(withChange("    latitudeDegrees: 42.5\n", ""));
    const line = lineOf("name: Tern Hollow Observatory");
    expect(message).toContain(`line ${line}, observatory.site.latitudeDegrees: missing; allowed: a number.`);
  });

  test("a misspelt key inside a list and behind a default too", () => {
    expect(refusalOf(withChange("name: B, slot: 1", "nane: B, slot: 1")).message).toContain(
      "did you mean name?",
    );
    expect(refusalOf(withChange("    camera: fitted", "    camara: fitted")).message).toContain(
      "did you mean camera?",
    );
  });

  test("many faults are counted, and the first five shown", () => {
    const { message } = refusalOf(GOOD.replaceAll(/(\w+Seconds): \d+/g, "$1: -1"));
    expect(message.split("\n")).toHaveLength(7);
    expect(message).toMatch(/\n {2}… and \d+ more$/);
  });
});

describe("a file that is no configuration", () => {
  test.each([
    ["nothing", "", "config-invalid", "mine.yaml is empty"],
    ["only comments", "# later\n", "config-invalid", "mine.yaml is empty"],
    ["a word", "hello", "config-invalid", 'the file: "hello" is not allowed; allowed: a group of keys.'],
    ["a list", "- a\n- b", "config-invalid", "allowed: a group of keys."],
    [
      "a tab",
      "a:\n\tb: 1",
      "config-unreadable",
      "mine.yaml, line 2: this is not valid YAML: Tabs are not allowed as indentation.",
    ],
    [
      "a key given twice",
      "a: 1\na: 2",
      "config-unreadable",
      "line 2: this is not valid YAML: Map keys must be unique.",
    ],
    ["an open quote", 'a: "b\nc: 1', "config-unreadable", "this is not valid YAML"],
    [
      "two documents",
      `${GOOD}\n---\na: 1`,
      "config-unreadable",
      "a second document begins here; remove the line ---.",
    ],
    ["an alias to nothing", "a: *b", "config-unreadable", "Unresolved alias"],
    [
      "a part that is a part of itself",
      "observatory: &o\n  site: { dome: *o }\n",
      "config-unreadable",
      "observatory.site.dome has an alias (*name) in it that stands for what it is itself a part of",
    ],
  ])("%s is said to be one", (_, text, code, words) => {
    expect(refusalOf(text)).toMatchObject({ code, message: expect.stringContaining(words) });
  });

  test("a missing file and a folder are told apart", () => {
    expect(() => loadConfig("/nowhere/at-all.yaml")).toThrow(
      "/nowhere/at-all.yaml: there is no such file. Name a configuration with --config FILE.",
    );
    expect(() => loadConfig(tmpdir())).toThrow("this is a folder");
  });
});

describe("hostile values", () => {
  test("aliases within aliases are refused before they fill the memory", () => {
    const layers = ["a: &a [x, x, x, x, x, x, x, x, x]"];
    for (const [name, of] of ["ba", "cb", "dc", "ed", "fe", "gf", "hg"].map((pair) => [...pair])) {
      layers.push(`${name}: &${name} [${Array(9).fill(`*${of}`).join(", ")}]`);
    }
    expect(refusalOf(layers.join("\n"))).toMatchObject({ code: "config-unreadable" });
  });

  test("a key meant to reach into objects reaches nothing", () => {
    expect(refusalOf(`__proto__: { polluted: yes }\n${GOOD}`).message).toContain(
      "__proto__: there is no such key",
    );
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
  });

  test.each([
    [
      "a channel for two entries",
      'channelId: "300000000000000000"',
      'channelId: "200000000000000000"',
      'discord.guilds.2.channelId: "200000000000000000" is not allowed; allowed: a channel of its own for each entry.',
    ],
    [
      "two permissions for staff in one server",
      'channelId: "300000000000000000"',
      'channelId: "300000000000000000", staffPermission: ManageGuild',
      'discord.guilds.2.staffPermission: "ManageGuild" is not allowed; allowed: ManageMessages, as in the first entry for this server: all entries of a server have the same.',
    ],
  ])("%s is refused", (_, from, to, said) => {
    const guilds = `discord:
  guilds:
    - { guildId: "100000000000000000", classId: evening-2, channelId: "200000000000000000" }
    - { guildId: "100000000000000000", classId: evening-2, channelId: "300000000000000000" }`;
    expect(parseConfig(`${GOOD}\n${guilds}`, "mine.yaml").discord.guilds).toHaveLength(2);
    expect(refusalOf(`${GOOD}\n${guilds.replace(from, to)}`).message).toContain(said);
  });

  test.each([
    ["a terminal's escape", '"Mi\\u001b[31mra"'],
    ["a zero byte", '"Mi\\u0000ra"'],
    ["a turned writing direction", '"Mi\\u202era"'],
    ["a new line", '"Mi\\nra"'],
  ])("%s in a name is refused, and not printed", (_, name) => {
    const { message } = refusalOf(withChange("name: Mira,", `name: ${name},`));
    expect(message).toContain("allowed: text without control characters.");
    expect(message.replaceAll("\n", "")).not.toMatch(/[\p{Cc}\u202e]/u);
  });

  test("control characters in a key or in bad YAML are not printed", () => {
    for (const text of [`"a\\u001b[31mb": 1\n${GOOD}`, "a: !\u001b[31m b\n\tc: 1", "\u001b[31m: [\n"]) {
      expect(refusalOf(text).message.replaceAll("\n", "")).not.toMatch(/\p{Cc}/u);
    }
  });

  test("any text at all is answered with a refusal or a configuration, never with another error", () => {
    const pieces = fc.constantFrom(
      GOOD,
      ...GOOD.split("\n"),
      "- ",
      "{",
      "}",
      "*a",
      "&a ",
      "!!map",
      "? ",
      "<<: ",
      "\t",
      "|\n",
    );
    const text = fc.oneof(
      fc.array(pieces, { maxLength: 12 }).map((parts) => parts.join("\n")),
      fc.string({ unit: "binary", maxLength: 200 }),
      fc
        .tuple(fc.nat({ max: GOOD.length }), fc.string({ unit: "binary", maxLength: 8 }))
        .map(([at, junk]) => GOOD.slice(0, at) + junk + GOOD.slice(at)),
    );
    fc.assert(
      fc.property(text, (each) => {
        try {
          parseConfig(each, "mine.yaml");
        } catch (error) {
          expect(error).toBeInstanceOf(Refusal);
          expect((error as Refusal).message.length).toBeLessThan(2_000);
        }
      }),
      { numRuns: 120 },
    );
  });
});
