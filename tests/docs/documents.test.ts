/** README, DEVELOPERS and the guides say what is so: commands, scripts, files and examples in them exist. */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { expect, test } from "vitest";
import { parseLine } from "../../src/commands/read/parse-text.js";
import { commandTable } from "../../src/commands/table.js";
import { commandTableMarkdown } from "../commands/readme-table.js";

const GUIDES = "config/guides";
const guides = readdirSync(GUIDES).filter((name) => name.endsWith(".md"));
const documents = ["README.md", "DEVELOPERS.md", ...guides.map((name) => join(GUIDES, name))].map(
  (path) => [path, readFileSync(path, "utf8")] as const,
);
const textOf = (path: string): string => new Map(documents).get(path) as string;
const { scripts } = JSON.parse(readFileSync("package.json", "utf8")) as { scripts: Record<string, string> };

test("the guide's table of commands is the one in code", () => {
  const block =
    /<!-- commands:begin -->\n([\s\S]*?)<!-- commands:end -->/.exec(
      textOf("config/guides/commands.md"),
    )?.[1] ?? "";
  expect(block.trim()).toBe(commandTableMarkdown(commandTable).trim());
});

test.each(documents)("every npm script named in %s exists", (_name, text) => {
  const named = [...text.matchAll(/npm run (?:-s )?([\w:-]+)/g)].map((match) => match[1] as string);
  for (const script of named) expect(scripts, script).toHaveProperty(script);
});

test.each(documents)("every file and folder linked or named in %s exists", (path, text) => {
  const linked = [...text.matchAll(/\]\((?!https?:)([^)#]+)\)/g)].map((match) => match[1] as string);
  const named = [...text.matchAll(/`((?:src|tests|config|demo-data|\.ci)\/[\w./-]*)`/g)].map(
    (match) => match[1] as string,
  );
  const from = linked.map((link) => join(dirname(path), link));
  for (const each of [...from, ...named]) expect(existsSync(each), each).toBe(true);
});

test("every command line shown in README and guides can be typed", () => {
  const text = documents.map(([, each]) => each).join("\n");
  const shown = [...text.matchAll(/(?:^|[`> ])(\/[a-z]+(?: [^`\n|]*)?)(?=`|$)/gm)].map((match) =>
    (match[1] as string).trim(),
  );
  const lines = shown.filter((line) => !/^\/(quit|as|api)\b/.test(line) && !line.includes("…"));
  expect(lines.length).toBeGreaterThan(8);
  for (const line of lines) expect(() => parseLine(line, commandTable), line).not.toThrow(/no command/);
});
