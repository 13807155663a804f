/** Replies of any size become messages within the platform's limits. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { person, say, strong } from "../../../src/base/phrase.js";
import { renderReply } from "../../../src/chat/discord/hear/render-reply.js";
import type { Reply } from "../../../src/commands/reply.js";
import { checkMessage } from "./stand-in/message-rules.js";

const options = { nameOf: (id: string) => `name of ${id}`, uploadBytes: 10 * 1024 * 1024 };
const plain: Reply = { tone: "answer", title: "Title", lines: [] };

describe("a reply on the platform", () => {
  it("keeps every documented limit, however long its parts", () => {
    const text = fc.string({ maxLength: 400, unit: "grapheme" });
    const phrase = fc.array(
      fc.oneof(
        text,
        text.map(strong),
        text.map((id) => person(`discord:${id}`)),
      ),
      { maxLength: 4 },
    );
    const reply = fc.record({
      tone: fc.constantFrom<Reply["tone"]>("answer", "done", "warning", "refused"),
      title: text,
      lines: fc.array(phrase, { maxLength: 30 }),
      fields: fc.array(fc.record({ name: text, value: phrase }), { maxLength: 40 }),
      table: fc.record({
        columns: fc.array(text, { maxLength: 5 }),
        rows: fc.array(fc.array(phrase, { maxLength: 4 }), { maxLength: 60 }),
        ownRows: fc.array(fc.nat(60)),
      }),
      actions: fc.array(
        fc.record({ command: text, options: fc.constant({}), label: text, onlyFor: fc.constant(null) }),
        {
          maxLength: 40,
        },
      ),
    });
    fc.assert(
      fc.property(reply, (each) => {
        const { content, embeds, components, flags } = renderReply(each as Reply, options);
        checkMessage({ content, embeds: [...embeds], components: [...components] as never[], flags }, [], ~0);
      }),
      { numRuns: 200 },
    );
  });

  it("says its tone by a sign, not by colour alone", () => {
    const signs = (["answer", "done", "warning", "refused"] as const).map(
      (tone) => renderReply({ ...plain, tone }, options).content.split(" ")[0],
    );
    expect(signs).toEqual(["•", "✓", "!", "✗"]);
  });

  it("marks the reader's own rows by a sign as well as by weight, one line for each row", () => {
    const table = {
      columns: ["place", "request"],
      rows: [
        [["1"], say`#4 M31`],
        [["2"], say`#12 ${strong("M13")}`],
      ],
      ownRows: [1],
    };
    const [embed] = renderReply({ ...plain, table }, options).embeds;
    expect(embed?.description).toBe("__place · request__\n1 · #4 M31\n▸ **2 · #12 M13**");
  });

  it("counts the lines that do not fit", () => {
    const rows = Array.from({ length: 300 }, (_, index) => [say`#${index} ${"M13 ".repeat(12)}`]);
    const [embed] = renderReply({ ...plain, table: { columns: [], rows, ownRows: [] } }, options).embeds;
    const shown = embed?.description?.split("\n") ?? [];
    expect(shown.at(-1)).toBe(`… and ${300 - (shown.length - 1)} more lines`);
  });
});
