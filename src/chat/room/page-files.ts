/** The page's own files: read once, compressed when first asked for, under a name that changes with their content. */
import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";

const TYPES: Record<string, string> = {
  js: "text/javascript; charset=utf-8",
  html: "text/html; charset=utf-8",
  svg: "image/svg+xml",
};
const STYLE_TYPE = "text/css; charset=utf-8";
/** Joined into one, in this order, so that a page fetches one. */
const STYLES = ["base", "desk", "controls", "sky", "log", "forms", "widths", "wall"];
const MODULES = "<!-- modules -->";

export class PageFile {
  private compressedBrotli: Buffer | null = null;
  private compressedGzip: Buffer | null = null;
  /** Strong: the same exactly when every byte is. */
  readonly etag: string;

  constructor(
    readonly plain: Buffer,
    readonly mediaType: string,
  ) {
    this.etag = `"${digest(plain)}"`;
  }

  get brotli(): Buffer {
    this.compressedBrotli ??= brotliCompressSync(this.plain, {
      params: { [constants.BROTLI_PARAM_QUALITY]: 7 },
    });
    return this.compressedBrotli;
  }

  get gzip(): Buffer {
    this.compressedGzip ??= gzipSync(this.plain);
    return this.compressedGzip;
  }
}

export interface PageFiles {
  readonly index: PageFile;
  /** The same for someone who is in already: it connects without asking first. */
  readonly indexForMember: PageFile;
  /** Part of the address of every other file: a browser may keep those for good. */
  readonly version: string;
  /** By name, the style sheets as one `style.css`. */
  readonly files: ReadonlyMap<string, PageFile>;
}

/** Reads the folder; the page's scripts are announced in index.html, to be fetched together. */
export function readPageFiles(folder: string): PageFiles {
  const names = readdirSync(folder).filter((name) => TYPES[extension(name)] !== undefined);
  const files = new Map(
    names.map((name) => [
      name,
      new PageFile(readFileSync(join(folder, name)), TYPES[extension(name)] as string),
    ]),
  );
  const style = Buffer.concat(STYLES.map((name) => readFileSync(join(folder, `${name}.css`))));
  files.set("style.css", new PageFile(style, STYLE_TYPE));
  const index = (files.get("index.html") as PageFile).plain.toString();
  files.delete("index.html");
  const version = digest(Buffer.from([...files.values()].map(({ etag }) => etag).join()));
  const modules = [...files.keys()]
    .filter((name) => name.endsWith(".js"))
    .map((name) => `<link rel="modulepreload" href="/page/${name}">`);
  const whole = index.replace(MODULES, modules.join("\n")).replaceAll('"/page/', `"/page/${version}/`);
  const page = (html: string): PageFile => new PageFile(Buffer.from(html), TYPES.html as string);
  const forMember = whole.replace("<html", "<html data-member");
  return { index: page(whole), indexForMember: page(forMember), version, files };
}

function digest(content: Buffer): string {
  return createHash("sha256").update(content).digest("base64url").slice(0, 24);
}

function extension(name: string): string {
  return name.slice(name.lastIndexOf(".") + 1);
}
