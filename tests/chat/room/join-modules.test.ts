/** The page's modules as one script. */
import { runInNewContext } from "node:vm";
import { expect, test } from "vitest";
import { joinModules } from "../../../src/chat/room/serve/join-modules.js";

const modules = (texts: Record<string, string>) => new Map(Object.entries(texts));

test("runs each once, in the order of need, and keeps names that modules share apart", () => {
  const script = joinModules(
    modules({
      main: 'import { count } from "./two-words.js";\nimport { count as other } from "./other.js";\nheard([count(), other(), count()].join(" "));',
      "two-words":
        'import { step } from "./step.js";\nlet own = 0;\nexport function count() {\n  own += step;\n  return own;\n}',
      other:
        'import { step } from "./step.js";\nlet own = 10;\nexport function count() {\n  return own + step;\n}',
      step: "ran();\nexport const step = 2;",
      unused: "never();",
    }),
    "main",
  );
  const said: string[] = [];
  let runs = 0;
  runInNewContext(script, { heard: (text: string) => said.push(text), ran: () => runs++ });
  expect(said).toEqual(["2 12 4"]);
  expect(runs).toBe(1);
});

test.each([
  ["is missing", { main: 'import { a } from "./a.js";' }, /module a is missing/],
  [
    "imports in a circle",
    { main: 'import { a } from "./a.js";', a: 'import { b } from "./main.js";\nexport const a = 1;' },
    /circle/,
  ],
  ["exports in another form", { main: "export default 1;" }, /main cannot be joined: export default 1/],
  ["imports something else", { main: 'import "node:fs";' }, /main cannot be joined: import/],
])("a module that %s is named", (_, texts, message) => {
  expect(() => joinModules(modules(texts as Record<string, string>), "main")).toThrow(message);
});
