/** Copies what the compiler does not: data files and the room's page, from src to dist. */
import { cpSync } from "node:fs";
import { fileURLToPath } from "node:url";

const source = fileURLToPath(new URL("../../src", import.meta.url));
const target = fileURLToPath(new URL("..", import.meta.url));
cpSync(source, target, {
  recursive: true,
  filter: (path) => !/\.ts$/.test(path) && !/tsconfig\.json$/.test(path),
});
