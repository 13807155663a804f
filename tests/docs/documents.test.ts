/** README and DEVELOPERS say what is so: commands, scripts, files and examples in them exist. */
import { existsSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { parseLine } from "../../src/commands/read/parse-text.js";
import { commandTable } from "../../src/commands/table.js";
import { commandTableMarkdown } from "../commands/readme-table.js";

const readme = readFileSync("README.md", "utf8");
const developers = readFileSync("DEVELOPERS.md", "utf8");
const { scripts } = JSON.parse(readFileSync("package.json", "utf8")) as { scripts: Record<string, string> };

test("the README's table of commands is the one in code", () => {
  const block = /<!-- commands:begin -->\n([\s\S]*?)<!-- commands:end -->/.exec(readme)?.[1] ?? "";
  expect(block.trim()).toBe(commandTableMarkdown(commandTable).trim());
});

test.each([
  ["README.md", readme],
  ["DEVELOPERS.md", developers],
])("every npm script named in %s exists", (_name, text) => {
  const named = [...text.matchAll(/npm run (?:-s )?([\w:-]+)/g)].map((match) => match[1] as string);
  for (const script of named) expect(scripts, script).toHaveProperty(script);
});

test.each([
  ["README.md", readme],
  ["DEVELOPERS.md", developers],
])("every file and folder linked or named in %s exists", (_name, text) => {
  const linked = [...text.matchAll(/\]\((?!https?:)([^)#]+)\)/g)].map((match) => match[1] as string);
  const named = [...text.matchAll(/`((?:src|tests|config|demo-data|\.ci)\/[\w./-]*)`/g)].map(
    (match) => match[1] as string,
  );
  for (const path of [...linked, ...named]) expect(existsSync(path), path).toBe(true);
});

test("every command line shown in the README can be typed", () => {
  const shown = [...readme.matchAll(/(?:^|[`> ])(\/[a-z]+(?: [^`\n|]*)?)(?=`|$)/gm)].map((match) =>
    (match[1] as string).trim(),
  );
  const lines = shown.filter((line) => !/^\/(quit|as|api)\b/.test(line) && !line.includes("…"));
  expect(lines.length).toBeGreaterThan(8);
  for (const line of lines) expect(() => parseLine(line, commandTable), line).not.toThrow(/no command/);
});
