/**
 * Joins what the program needs at its start into a few files: several hundred small ones take longer to find and
 * open than all else at a start. The compiler's output stays beside them, for workers, tools and data files.
 */
import { dirname, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "rolldown";

const source = fileURLToPath(new URL("../../src/", import.meta.url));
const target = fileURLToPath(new URL("../", import.meta.url));
/** Packages that look for files of their own (binaries, workers, fonts), and those with no part in a plain start. */
const APART = /^(libsql|piscina|@resvg\/|dejavu-fonts-ttf|discord\.js|fastify|@fastify\/|ws|qrcode)/;

await joined("main");
// Charts are drawn by a worker of their own: the plots come as several hundred files too.
await joined("pictures/draw-worker");

/** One program or worker in one file, and what it imports later in a few beside it. */
async function joined(name: string): Promise<void> {
  const input = `${source}${name}.ts`;
  const home = dirname(input);
  await build({
    input: { [name]: input },
    platform: "node",
    external: APART,
    resolve: { extensionAlias: { ".js": [".ts", ".js"] } },
    plugins: [{ name: "own-places", transform: (code, path) => inOwnPlace(code, path, home) }],
    output: { dir: target, entryFileNames: "[name].js", chunkFileNames: "part-[name].js" },
  });
}

/** A module finds the files beside it where the compiler put them, wherever its own text has gone. */
function inOwnPlace(code: string, path: string, home: string): string | null {
  if (!path.startsWith(source) || !code.includes("import.meta.url")) return null;
  const place = JSON.stringify(relative(home, path).replace(/\.ts$/, ".js"));
  return code.replaceAll("import.meta.url", `new URL(${place}, import.meta.url).href`);
}
