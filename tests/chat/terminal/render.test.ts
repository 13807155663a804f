/** The terminal shows replies in plain, safe text. */
import { describe, expect, test } from "vitest";
import { clockTime, dayAndTime, person, relative, say, strong } from "../../../src/base/phrase.js";
import { noticeText, replyText } from "../../../src/chat/terminal/render.js";
import type { TerminalStyle } from "../../../src/chat/terminal/style.js";
import type { Reply } from "../../../src/commands/reply.js";
import type { Notice } from "../../../src/journal/notice.js";

const NOW = Date.UTC(2026, 10, 26, 2, 0);
const style: TerminalStyle = {
  timeZone: "America/Chicago",
  effects: false,
  now: () => NOW,
  nameOf: (id) => (id === "terminal:mira" ? "you" : "Tomas\u001b[31m"),
};
const reply = (over: Partial<Reply>): Reply => ({
  tone: "answer",
  title: "Title",
  lines: [],
  ...over,
});

describe("a reply", () => {
  test("gives times in the stated zone, also across a clock change", () => {
    const lines = [
      say`${clockTime(NOW)}`,
      say`${dayAndTime(Date.UTC(2026, 10, 1, 6, 30))} ${dayAndTime(Date.UTC(2026, 10, 1, 7, 30))}`,
      say`${relative(NOW + 12 * 60_000)}, ${relative(NOW - 3 * 3_600_000)}, ${relative(NOW)}`,
    ];
    expect(replyText(reply({ lines }), style)).toBe(
      "• Title\n  20:00\n  Sun 1 Nov 01:30 Sun 1 Nov 01:30\n  in 12 min, 3 h ago, just now",
    );
  });

  test("says its tone by a sign and by word order, not by colour", () => {
    expect(replyText(reply({ tone: "refused" }), style)).toMatch(/^✗ Title/);
    expect(replyText(reply({ tone: "done" }), { ...style, effects: true })).toContain(
      "\u001b[1mTitle\u001b[22m",
    );
  });

  test("lets nothing that a person typed move the cursor or turn the text round", () => {
    const text = replyText(
      reply({
        title: "a\u001b[2Jb",
        lines: [say`${"x\u202ey\r\n"}${person("terminal:tomas")}${strong("\u0007")}`],
      }),
      style,
    );
    // biome-ignore lint/suspicious/noControlCharactersInRegex: that they are gone is the point
    expect(text.replace(/\n/g, "")).not.toMatch(/[\u0000-\u001f\u202a-\u202e]/);
  });

  test("lines up a table and marks the reader's own row by a sign", () => {
    const table = {
      columns: ["place", "request"],
      rows: [
        [["1"], ["#12 M13"]],
        [["2"], ["#3 M5"]],
      ],
      ownRows: [1],
    };
    expect(replyText(reply({ table }), style).split("\n").slice(1)).toEqual([
      "     place  request",
      "     1      #12 M13",
      "  ▸  2      #3 M5",
    ]);
  });
});

describe("a notice", () => {
  const notice = {
    title: "#1 M13: done",
    lines: [say`Usable.`],
    attachment: { file: "frames/1.png", altText: "Simulated frame" },
  } as unknown as Notice;

  test("is told in full to those it is for, with its picture in words", () => {
    expect(noticeText(notice, style, true, "data")).toBe(
      "◆ #1 M13: done\n  Usable.\n  Picture: data/frames/1.png\n  It shows: Simulated frame",
    );
  });

  test("is one line for everybody else", () => {
    expect(noticeText(notice, style, false, "data")).toBe("· #1 M13: done");
  });
});
