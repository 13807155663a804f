/** A summary time that cannot be read is refused at the start, by key, with an example. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { parseConfig } from "../../src/config/load.js";

const example = readFileSync("config/tern-hollow.yaml", "utf8");
const withTime = (expression: string) =>
  example.replace(/morningSummaryAt: "[^"]*"/, `morningSummaryAt: "${expression}"`);

test.each(["half past eight", "30 25 * * *", "0 30 8 * * *", ""])("refuses %j", (expression) => {
  expect(() => parseConfig(withTime(expression), "mine.yaml")).toThrow(
    /notices\.morningSummaryAt: .*not allowed; allowed: five fields such as "30 8 \* \* \*"/,
  );
});

test.each(["30 8 * * *", "0 9 * * 1-5", "*/15 7-9 * * *"])("accepts %j", (expression) => {
  expect(parseConfig(withTime(expression), "mine.yaml").notices.morningSummaryAt).toBe(expression);
});
