/** A command inside an answer is shown as the app's form is filled in, and nothing in it is markup. */
import { expect, it } from "vitest";
import { say, typed } from "../../../../src/base/phrase.js";
import { phraseText } from "../../../../src/chat/discord/text.js";

it("the form stands in code, and a quote in it does not end the code", () => {
  const line = say`Type ${typed("/alerts quiet=off", "/alerts quiet:off")} to hear all.`;
  expect(phraseText(line, () => "someone")).toBe("Type `/alerts quiet:off` to hear all.");
  const hostile = say`${typed("/session groups x", "/session group:`**@everyone**`")}`;
  expect(phraseText(hostile, () => "someone")).toBe("`/session group:'**@everyone**'`");
});
