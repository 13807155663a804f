/** The page's own files: read once, compressed when first asked for, under a name that changes with their content. */
import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";

const TYPES: Record<string, string> = {
  js: "text/javascript; charset=utf-8",
  html: "text/html; charset=utf-8",
  svg: "image/svg+xml",
  css: "text/css; charset=utf-8",
};
/** Joined into one, in this order, so that a page fetches one. */
const STYLES = ["base", "news", "desk", "controls", "sky", "log", "forms", "widths", "wall", "red"];

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
  /** By name: the script, the style sheets as one `style.css`, drawings. */
  readonly files: ReadonlyMap<string, PageFile>;
}

/** Reads the folder; style sheets are joined, so that a page fetches one. The script is there once it is built. */
export function readPageFiles(folder: string): PageFiles {
  const read = (name: string): Buffer => readFileSync(join(folder, name));
  const file = (name: string, content: Buffer): [string, PageFile] => [
    name,
    new PageFile(content, TYPES[extension(name)] as string),
  ];
  const whole = readdirSync(folder).filter((name) => ["svg", "js"].includes(extension(name)));
  const files = new Map([
    ...whole.map((name) => file(name, read(name))),
    file("style.css", Buffer.concat(STYLES.map((name) => read(`style/${name}.css`)))),
  ]);
  const index = read("index.html").toString();
  const version = digest(Buffer.from([...files.values()].map(({ etag }) => etag).join()));
  const html = index.replaceAll('"/page/', `"/page/${version}/`);
  const page = (text: string): PageFile => new PageFile(Buffer.from(text), TYPES.html as string);
  const forMember = html.replace("<html", "<html data-member");
  return { index: page(html), indexForMember: page(forMember), version, files };
}

function digest(content: Buffer): string {
  return createHash("sha256").update(content).digest("base64url").slice(0, 24);
}

function extension(name: string): string {
  return name.slice(name.lastIndexOf(".") + 1);
}
