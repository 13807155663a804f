/** The page's own files: read once, compressed once, served with a strong entity tag. */
import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";

export interface PageFile {
  readonly mediaType: string;
  readonly etag: string;
  readonly plain: Buffer;
  readonly gzip: Buffer;
  readonly brotli: Buffer;
}

const TYPES: Record<string, string> = {
  js: "text/javascript; charset=utf-8",
  css: "text/css; charset=utf-8",
  html: "text/html; charset=utf-8",
  svg: "image/svg+xml",
};
/** Joined into one, in this order, so that a page fetches one. */
const STYLES = ["base", "desk", "controls", "sky", "log", "forms", "widths", "wall"];
const MODULES = "<!-- modules -->";

/**
 * All files of the folder by name, the style sheets as one `style.css`; the page's scripts are announced in
 * index.html, to be fetched together.
 */
export function readPageFiles(folder: string): ReadonlyMap<string, PageFile> {
  const names = readdirSync(folder).filter(
    (name) => TYPES[extension(name)] !== undefined && !/\.css$/.test(name),
  );
  const style = Buffer.concat(STYLES.map((name) => readFileSync(join(folder, `${name}.css`))));
  const modules = names
    .filter((name) => name.endsWith(".js"))
    .map((name) => `<link rel="modulepreload" href="/page/${name}">`)
    .join("\n");
  const files = names.map((name): [string, PageFile] => {
    const content = readFileSync(join(folder, name));
    const whole = name === "index.html" ? Buffer.from(content.toString().replace(MODULES, modules)) : content;
    return [name, pageFile(whole, TYPES[extension(name)] as string)];
  });
  return new Map([...files, ["style.css", pageFile(style, TYPES.css as string)]]);
}

function pageFile(plain: Buffer, mediaType: string): PageFile {
  return {
    mediaType,
    etag: `"${createHash("sha256").update(plain).digest("base64url").slice(0, 24)}"`,
    plain,
    gzip: gzipSync(plain),
    brotli: brotliCompressSync(plain, { params: { [constants.BROTLI_PARAM_QUALITY]: 7 } }),
  };
}

function extension(name: string): string {
  return name.slice(name.lastIndexOf(".") + 1);
}
