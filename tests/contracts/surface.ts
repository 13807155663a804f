/** What every place where people talk promises, whatever it looks like: told by what one person there sees. */
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { clockTime, person, say, strong, typed } from "../../src/base/phrase.js";
import type { Delivery, Surface, SurfaceHost } from "../../src/chat/surface.js";
import type { Asker, Call } from "../../src/commands/command.js";
import { parseLine } from "../../src/commands/read/parse-text.js";
import type { Reply } from "../../src/commands/reply.js";
import { commandTable } from "../../src/commands/table.js";
import type { Request } from "../../src/queue/request.js";

/** Commands whose answer the test decides, over the host that the surface would have had. */
export class Commands {
  /** "welcome" and command names, in order. */
  readonly order: string[] = [];
  readonly calls: Call[] = [];
  readonly welcomed: Asker[] = [];
  answer: Reply = { tone: "answer", title: "Nothing waits", lines: [] };

  over(host: SurfaceHost): SurfaceHost {
    writeFileSync(join(host.dataFolder, PREVIEW), "the bytes of a picture");
    const run = async (call: Call): Promise<Reply> => {
      this.order.push(call.command);
      this.calls.push(call);
      return this.answer;
    };
    return {
      ...host,
      run,
      runText: (line, of) => run({ ...parseLine(line, commandTable), ...of }),
      welcome: async (asker, home) => {
        this.order.push("welcome");
        this.welcomed.push(asker);
        await host.welcome(asker, home);
      },
      suggest: (...of) => host.suggest(...of),
      nameFor: (...of) => host.nameFor(...of),
      board: (...of) => host.board(...of),
    };
  }
}

/** One surface with one person in it. */
export interface Tenant {
  readonly surface: Surface;
  /** The person asks when theirs runs; what they see then. The question arrives so often. */
  ask(arrives?: number): Promise<string>;
  /** Hands over a notice for the person's class under this title, as on a first trial or a later one. */
  tell(title: string, maybeSent?: boolean): Promise<Delivery>;
  /** All that the class has been shown. */
  shown(): Promise<string>;
  /** What can stand in the way of a notice, where anything can. */
  readonly trouble?: { passing(): void; forGood(): void };
  close(): Promise<void>;
}

const PREVIEW = "preview.png";
const request = { number: 12, frames: 1, target: { id: "M13", name: "Hercules Cluster (M13)" } } as Request;
const FULL: Reply = {
  tone: "warning",
  title: "The whole of an answer",
  lines: [
    say`Plain, ${strong("strongly")}, by ${person("x:nobody")} at ${clockTime(0)}.`,
    say`Type ${typed("/why 12", "/why request:12")}.`,
  ],
  fields: [{ name: "Airmass", value: ["1.02"] }],
  table: {
    columns: ["place", "wish"],
    rows: [
      [["1"], ["Ring Nebula"]],
      [["2"], ["Veil Nebula"]],
    ],
    ownRows: [1],
  },
  picture: { png: new Uint8Array([137, 80, 78, 71]), altText: "A curve that falls.", fileName: "curve.png" },
  downloads: [{ fileName: "record.csv", mediaType: "text/csv", content: "a,b\n" }],
  frames: [
    {
      request,
      frame: {
        index: 1,
        startUnixMs: 0,
        exposureSeconds: 20,
        filter: "V",
        imageFile: null,
        previewFile: PREVIEW,
        verdict: null,
        simulated: true,
      },
    },
  ],
  actions: [{ command: "why", options: { request: 12 }, label: "Why?", onlyFor: null }],
};

export function keepsTheContract(name: string, open: (commands: Commands) => Promise<Tenant>): void {
  describe(`${name} as a surface`, () => {
    let commands: Commands;
    let here: Tenant;
    beforeEach(async () => {
      commands = new Commands();
      here = await open(commands);
    });
    afterEach(() => here.close());

    test("makes a person known before their command is run", async () => {
      await here.ask();
      const [call] = commands.calls;
      expect(call?.command).toBe("when");
      expect(commands.welcomed).toContainEqual(call?.asker);
      expect(commands.order.indexOf("welcome")).toBeLessThan(commands.order.indexOf("when"));
      expect(call?.asker.id).toMatch(new RegExp(`^${here.surface.name}:.`));
    });

    test("gives what arrives twice one once key, and what is asked anew another", async () => {
      await here.ask(2);
      const again = new Set(commands.calls.map(({ onceKey }) => onceKey));
      expect(again.size).toBe(1);
      await here.ask();
      const last = commands.calls.at(-1)?.onceKey ?? null;
      if (last !== null) expect(again).not.toContain(last);
    });

    test("shows an answer with everything that an answer can hold", async () => {
      commands.answer = FULL;
      const seen = await here.ask();
      for (const part of [
        "The whole of an answer",
        "strongly",
        "Airmass",
        "1.02",
        "Ring Nebula",
        "Veil Nebula",
      ])
        expect(seen).toContain(part);
      for (const part of ["A curve that falls.", "record.csv", "Why?", "/why"]) expect(seen).toContain(part);
      expect(seen).toMatch(/frame 1 of 1/i);
    });

    test("shows a notice and says that it did; the same once more shows nothing", async () => {
      expect(await here.tell("Dome shut for tonight")).toMatchObject({ result: "delivered" });
      expect(await here.tell("Dome shut for tonight", true)).toMatchObject({ result: "delivered" });
      expect((await here.shown()).split("Dome shut for tonight")).toHaveLength(2);
    });

    test("asks for another trial, or gives up with the reason, where something stands in the way", async () => {
      if (!here.trouble) return;
      here.trouble.passing();
      expect(await here.tell("First")).toMatchObject({
        result: "retry",
        reason: expect.stringMatching(/\w/),
      });
      expect(await here.tell("First", true)).toMatchObject({ result: "delivered" });
      here.trouble.forGood();
      expect(await here.tell("Second")).toMatchObject({
        result: "drop",
        reason: expect.stringMatching(/\w/),
      });
    });

    test("ends in order, also when told twice", async () => {
      await here.ask();
      await here.surface.stop();
      await here.surface.stop();
    });
  });
}
