/** Makes what the compiler does not: the room's page as one script, and copies of data files, from src to dist or to the folder named. */
import { cpSync, rmSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { build } from "rolldown";

const source = fileURLToPath(new URL("../../src/", import.meta.url));
const target = process.argv[2] ?? fileURLToPath(new URL("../", import.meta.url));
const PAGE = "chat/room/page";

rmSync(target + PAGE, { recursive: true, force: true });
cpSync(source, target, {
  recursive: true,
  filter: (path) => !/\.ts$/.test(path) && !/tsconfig\.json$/.test(path),
});
await build({
  input: `${source}${PAGE}/main.ts`,
  output: { file: `${target}${PAGE}/main.js`, minify: true },
  resolve: { extensionAlias: { ".js": [".ts", ".js"] } },
  tsconfig: `${source}${PAGE}/tsconfig.json`,
});
