/** What people type can do nothing on the platform. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { clockTime, dayAndTime, dayOf, relative } from "../../../src/base/phrase.js";
import { bold, cleanName, escapeText, timestamp } from "../../../src/chat/discord/text.js";

const nasty = fc
  .array(
    fc.constantFrom(
      "*",
      "_",
      "~",
      "|",
      "`",
      ">",
      "#",
      "-",
      "[",
      "]",
      "(",
      ")",
      "<",
      ">",
      "@",
      ":",
      "/",
      "\\",
      "\n",
      " ",
      "1.",
      "a",
      "@everyone",
      "<@1>",
      "<#2>",
      "<t:1:R>",
      "<:x:1>",
      "https://example.invalid",
      "\u202e",
      "\u0000",
    ),
    { maxLength: 12 },
  )
  .map((parts) => parts.join(""));

describe("text on the platform", () => {
  it("leaves no markup, mention or link alive, whatever was typed", () => {
    fc.assert(
      fc.property(nasty, (typed) => {
        const shown = escapeText(typed);
        // Every sign that could begin or end something stands behind a backslash of ours.
        expect(shown.replace(/\\[\\*_~`|[\]<>#+.-]/g, "")).not.toMatch(/[*_~`|[\]<>\\]/);
        expect(shown).not.toMatch(/@[a-z&!\d]/);
        expect(shown).not.toMatch(/:\/\//);
        expect(shown).not.toMatch(/[\p{Cc}\u202e]/u);
        expect(shown).not.toMatch(/^\s*([-+#]+|\d+\.)(\s|$)/);
      }),
      { numRuns: 2_000 },
    );
  });

  it("reads the same as what was typed, apart from the escapes", () => {
    expect(escapeText("M13 at 21:40 - 3 frames (V)")).toBe("M13 at 21:40 - 3 frames (V)");
    expect(escapeText("snake_case *star*")).toBe("snake\\_case \\*star\\*");
    expect(escapeText("@everyone <@123>")).toBe("@\u200beveryone \\<@\u200b123\\>");
  });

  it("shows no card for an invitation written without a scheme", () => {
    for (const typed of ["discord.gg/abc", "come to discord.com/invite/abc."])
      expect(escapeText(typed)).not.toMatch(/discord\.(gg|com)\//);
    expect(escapeText("f/2.8 at 3.5/min, see note 2.")).toBe("f/2.8 at 3.5/min, see note 2.");
  });

  it("cannot be left by emphasised text", () => {
    expect(bold("a** b")).toBe("**a\\*\\* b**");
    expect(bold(" ")).toBe(" ");
  });

  it("writes instants in the platform's own form for each style", () => {
    const at = Date.UTC(2026, 10, 26, 3, 40);
    expect([clockTime(at), dayOf(at), dayAndTime(at), relative(at)].map(timestamp)).toEqual([
      "<t:1795664400:t>",
      "<t:1795664400:D>",
      "<t:1795664400:f>",
      "<t:1795664400:R>",
    ]);
  });

  it("makes a usable name of whatever an account is called", () => {
    expect(cleanName("  Mira\u202e\n ")).toBe("Mira");
    expect(cleanName("\u0000\u200b")).toBe("Someone");
    expect([...cleanName("x".repeat(90))]).toHaveLength(40);
    expect(cleanName("Ana María 🦉")).toBe("Ana María 🦉");
  });
});
