/** What can be typed, and what it is taken to mean. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { Refusal } from "../../../src/base/refusal.js";
import { cleanText } from "../../../src/commands/read/clean-text.js";
import { parseLine, toLine } from "../../../src/commands/read/parse-text.js";
import { commandTable } from "../../../src/commands/table.js";

const parse = (line: string) => parseLine(line, commandTable);
const refusal = (line: string): Refusal => {
  try {
    parse(line);
  } catch (error) {
    if (error instanceof Refusal) return error;
    throw error;
  }
  throw new Error(`"${line}" was understood`);
};

describe("A typed line", () => {
  it.each([
    ["/when", "when", {}],
    ["/when 12", "when", { request: "12" }],
    ["/WHEN #12", "when", { request: "#12" }],
    ["/ when 12", "when", { request: "12" }],
    ["/withdraw 12", "withdraw", { request: "12" }],
    ["queue", "queue", {}],
    ["/queue MINE", "queue", { scope: "MINE" }],
    ["/target Ring Nebula", "target", { name: "Ring Nebula" }],
    ["/target Ring Nebula date=tomorrow", "target", { name: "Ring Nebula", date: "tomorrow" }],
    ["/hold people in the dome", "hold", { reason: "people in the dome" }],
    ["/hold cloud until 22:30", "hold", { reason: "cloud", until: "22:30" }],
    ["/hold reason=cloud, wind coming until=20m", "hold", { reason: "cloud, wind coming", until: "20m" }],
    ["/session open until 22:30", "session", { action: "open", until: "22:30" }],
    [
      "/session groups Alder mira, tomas",
      "session",
      { action: "groups", group: "Alder", members: "mira, tomas" },
    ],
    ["/cancel 12 reason=cloud coming in", "cancel", { request: "12", reason: "cloud coming in" }],
    ["/cancel #12 cloud coming in", "cancel", { request: "#12", reason: "cloud coming in" }],
    ["/cancel person=mira asked to", "cancel", { person: "mira", reason: "asked to" }],
    ['/cancel person="Prof. Quill" too late', "cancel", { person: "Prof. Quill", reason: "too late" }],
    ["/cancel group=Alder class is over", "cancel", { group: "Alder", reason: "class is over" }],
    ["/cancel group Birch the break is over", "cancel", { group: "Birch", reason: "the break is over" }],
    ["/cancel target M31 clouds", "cancel", { target: "M31", reason: "clouds" }],
    ["/cancel all clouds", "cancel", { all: "yes", reason: "clouds" }],
    ["/cancel ALL clouds", "cancel", { all: "yes", reason: "clouds" }],
    ["/forget confirm", "forget", { confirm: "yes" }],
    ["/alerts mention 23:00-07:30", "alerts", { how: "mention", quiet: "23:00-07:30" }],
    ["/equipment camera away", "equipment", { part: "camera", state: "away" }],
    ["/rule one-each", "rule", { name: "one-each" }],
    ["/announce We start at nine: be there.", "announce", { text: "We start at nine: be there." }],
    ["/request M13", "request", { target: "M13" }],
    ["/request M13 clear 20 3", "request", { target: "M13 clear 20 3" }],
    [
      "/request target=M57 filter=R exposure=60 frames=2",
      "request",
      { target: "M57", filter: "R", exposure: "60", frames: "2" },
    ],
    [
      "/request target=M57 exposure=1.5 min frames=2",
      "request",
      { target: "M57", exposure: "1.5 min", frames: "2" },
    ],
    [
      '/request "Ring Nebula" clear 20 3',
      "request",
      { target: "Ring Nebula", filter: "clear", exposure: "20", frames: "3" },
    ],
    ["/request “Ring Nebula” filter=R", "request", { target: "Ring Nebula", filter: "R" }],
    ["/request M13 anyway", "request", { target: "M13", anyway: "yes" }],
    ["/request M13 note=for the poster", "request", { target: "M13", note: "for the poster" }],
    ["/request Ring Nebula, clear, 20 s, 3", "request", { target: "Ring Nebula, clear, 20 s, 3" }],
  ])("%s", (line, command, options) => {
    expect(parse(line)).toEqual({ command, options });
  });
});

describe("Plain words", () => {
  it.each([
    ["when will mine run?", "when", {}],
    ["When is my turn", "when", {}],
    ["When is it my turn?", "when", {}],
    ["when does #12 run", "when", { request: "12" }],
    ["how long until mine?", "when", {}],
    ["where am I in the queue", "when", {}],
    ["Where’s my place in the line?", "when", {}],
    ["am I next?", "when", {}],
    ["what's up tonight", "tonight", {}],
    ["What’s up?", "tonight", {}],
    ["what can I see", "tonight", {}],
    ["cancel mine", "withdraw", {}],
    ["cancel my request please", "withdraw", {}],
    ["delete #12", "withdraw", { request: "12" }],
    ["who's next?", "queue", {}],
    ["show the queue", "queue", {}],
    ["my frames", "mine", {}],
    ["why am I third?", "why", {}],
    ["why is #12 so late", "why", { request: "12" }],
    ["what is the telescope doing", "telescope", {}],
    ["what can I type?", "help", {}],
  ])("“%s” means the command", (line, command, options) => {
    expect(parse(line)).toEqual({ command, options });
  });

  it("words that mean nothing here are answered with what to type", () => {
    expect(refusal("the quick brown fox").message).toBe(
      "I did not understand that: type /request M13 to ask for a frame, /when to hear when yours runs, or /help.",
    );
  });
});

describe("A line that cannot be understood", () => {
  it.each([
    ["/reqest M13", "There is no command /reqest; did you mean /request?"],
    ["/wen", "There is no command /wen; did you mean /when?"],
    ["/frobnicate", "There is no command /frobnicate; type /help to see them all."],
    ["", "Nothing was typed: type /request M13 to ask for a frame, or /help."],
    ["/", "Nothing was typed: type /request M13 to ask for a frame, or /help."],
    ["/when soon", '"soon" is no request number: type /when 12.'],
    ["/mine 3", 'I do not know what "3" means after /mine; nothing goes after it. Type, for example, /mine.'],
    ["/when requst=12", '/when has no option "requst"; did you mean request?'],
    ["/when 12 request=13", 'Given twice: request, as "12" and as "13". Say it once.'],
  ])("%s", (line, sentence) => {
    expect(refusal(line).message).toBe(sentence);
  });

  it("of 10,000 characters is refused unread, with its length", () => {
    expect(refusal(`/request ${"M13 ".repeat(2498)}`).message).toBe(
      "That line has 10,001 characters; a command may have at most 600. Say it in fewer words.",
    );
  });
});

describe("Whatever is typed", () => {
  it("is understood or refused with one sentence, never anything else", () => {
    const names = commandTable.map((each) => `/${each.name} `);
    const typed = fc.tuple(fc.constantFrom("", "/", ...names), fc.string({ unit: "binary", maxLength: 80 }));
    fc.assert(
      fc.property(typed, ([start, rest]) => {
        try {
          const { command } = parse(start + rest);
          expect(commandTable.some((each) => each.name === command)).toBe(true);
        } catch (error) {
          expect(error).toBeInstanceOf(Refusal);
          expect((error as Refusal).message).not.toMatch(/[\n\r]/);
          expect((error as Refusal).message.length).toBeLessThan(400);
        }
      }),
      { numRuns: 1000 },
    );
  });

  it.each([
    ["/when 12", { request: 12 }],
    ["/alerts direct", { how: "direct" }],
    ["/forget confirm=yes", { confirm: "yes" }],
    ["/request Ring Nebula", { target: "Ring Nebula" }],
    ["/request M13 frames=3 anyway=yes", { target: "M13", frames: 3, anyway: "yes" }],
  ])("is written as plainly as it can be read back: %s", (line, options) => {
    expect(toLine({ command: line.slice(1).split(" ")[0] as string, options }, commandTable)).toBe(line);
  });

  it("comes back unchanged from the line written for a button", () => {
    const spec = fc.constantFrom(...commandTable.filter((each) => each.options.length > 0));
    const value = fc
      .string({ unit: "grapheme", minLength: 1, maxLength: 30 })
      .map(cleanText)
      .filter((each) => each !== "");
    const call = spec.chain((each) =>
      fc
        .record(Object.fromEntries(each.options.map((option) => [option.name, value])), { requiredKeys: [] })
        .map((options) => ({ command: each.name, options })),
    );
    fc.assert(
      fc.property(call, ({ command, options }) => {
        const given = Object.fromEntries(Object.entries(options).filter(([, each]) => each !== undefined));
        expect(parse(toLine({ command, options: given }, commandTable))).toEqual({ command, options: given });
      }),
      { numRuns: 500 },
    );
  });
});
