/// <reference lib="dom" />
/** A real browser, and the real program serving the room to it. */
import { type ChildProcess, spawn } from "node:child_process";
import { copyFileSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type Browser, chromium, type Page } from "playwright-core";
import { afterAll, beforeAll, expect } from "vitest";

const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";
export const CODE = "LANTERN-7";
const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** Whether there is a browser; says once, in one line, what is left out when there is none. */
export function hasBrowser(): boolean {
  if (existsSync(CHROMIUM)) return true;
  console.log(
    `Left out: the room in a real browser. ${CHROMIUM} is missing: apt-get install chromium, or set CHROMIUM to another.`,
  );
  return false;
}

export function launch(): Promise<Browser> {
  const args = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
  ];
  return chromium.launch({ executablePath: CHROMIUM, args });
}

/** The program with a data folder and port of its own, which survive a kill. */
export class RoomProgram {
  output = "";
  private child: ChildProcess | null = null;
  private readonly folder = mkdtempSync(join(tmpdir(), "room-browser-"));
  private port = 0;
  private readonly waiting = new Set<() => void>();

  /** @param speed practice seconds for a real one; null: a telescope worked by hand, in real time */
  constructor(private readonly speed: number | null = 30) {}

  get url(): string {
    return `http://127.0.0.1:${this.port}`;
  }

  /** The pass that was printed last. */
  get pass(): string {
    return [...this.output.matchAll(/(?:one use|another): (\S+)/g)].at(-1)?.[1] as string;
  }

  async start(): Promise<void> {
    if (this.port === 0) await this.prepare();
    const from = this.output.length;
    const args = ["dist/main.js", "--no-terminal"];
    if (this.speed !== null) args.push("--speed", String(this.speed));
    this.child = spawn(
      process.execPath,
      [...args, "--config", join(this.folder, "config.yaml"), "--data", this.folder],
      {
        stdio: ["ignore", "pipe", "pipe"],
      },
    );
    for (const stream of [this.child.stdout, this.child.stderr]) {
      stream?.on("data", (chunk) => {
        this.output += chunk;
        for (const look of [...this.waiting]) look();
      });
    }
    this.child.on("exit", () => {
      for (const look of [...this.waiting]) look();
    });
    await new Promise<void>((done, failed) => {
      const look = (): void => {
        const fresh = this.output.slice(from);
        if (/Only this computer/.test(fresh)) done();
        else if (this.child?.exitCode !== null) failed(new Error(`the program ended:\n${this.output}`));
        else return;
        this.waiting.delete(look);
      };
      this.waiting.add(look);
    });
  }

  /** As a power cut would. */
  async kill(signal: NodeJS.Signals = "SIGKILL"): Promise<void> {
    const { child } = this;
    if (!child || child.exitCode !== null || child.signalCode !== null) return;
    const gone = new Promise((done) => child.once("exit", done));
    child.kill(signal);
    await gone;
  }

  async end(): Promise<void> {
    await this.kill("SIGTERM");
    rmSync(this.folder, { recursive: true, force: true });
  }

  private async prepare(): Promise<void> {
    this.port = await freePort();
    const example = readFileSync("config/tern-hollow.yaml", "utf8");
    const room = `room: { port: ${this.port}, classCode: ${CODE} }\n`;
    const joined = this.speed === null ? example.replace("link: practice", "link: by-hand") : example;
    writeFileSync(join(this.folder, "config.yaml"), joined + room);
    copyFileSync("config/small-bodies.txt", join(this.folder, "small-bodies.txt"));
  }
}

type Size = readonly [width: number, height: number];

export interface Visitor {
  readonly page: Page;
  /** Errors and warnings of the page's console. */
  readonly complaints: string[];
  /** Addresses asked for that are not the program's. */
  readonly elsewhere: string[];
  /** Bytes transferred so far. */
  bytes(): number;
}

/** Opens a window of its own (other cookies, other storage). */
export async function visit(
  browser: Browser,
  room: RoomProgram,
  size: Size,
  path = "/",
  timezoneId = "America/Chicago",
): Promise<Visitor> {
  const [width, height] = size;
  const context = await browser.newContext({
    viewport: { width, height },
    timezoneId,
    locale: "en-GB",
    hasTouch: width < 500,
    acceptDownloads: true,
  });
  context.setDefaultTimeout(60_000);
  const page = await context.newPage();
  const complaints: string[] = [];
  const elsewhere: string[] = [];
  page.on("console", (message) => {
    if (["error", "warning"].includes(message.type())) complaints.push(message.text());
  });
  page.on("pageerror", (error) => complaints.push(error.message));
  page.on("request", (request) => {
    if (!request.url().startsWith(room.url)) elsewhere.push(request.url());
  });
  const network = await context.newCDPSession(page);
  await network.send("Network.enable");
  let bytes = 0;
  network.on("Network.loadingFinished", (event) => {
    bytes += event.encodedDataLength;
  });
  await page.goto(room.url + path);
  return { page, complaints, elsewhere, bytes: () => bytes };
}

export const PHONE = [390, 844] as const;
export const LAPTOP = [1280, 800] as const;

/**
 * For the tests of one file: the program, a browser, and an instructor who is in. What these tests look at stays as it
 * is: whatever a student asks for waits.
 */
export class ClassEvening {
  readonly room: RoomProgram;
  private browser: Browser | null = null;
  private instructor: Visitor | null = null;

  /** @param prepare what else is there before the first test */
  constructor(prepare: () => Promise<void> = async () => {}, speed = 10) {
    this.room = new RoomProgram(speed);
    beforeAll(async () => {
      [this.browser] = await Promise.all([launch(), this.room.start()]);
      this.instructor = await this.member("Prof. Quill", LAPTOP, this.room.pass);
      await occupy(this.instructor);
      await prepare();
    });
    afterAll(async () => {
      await this.browser?.close();
      await this.room.end();
    });
  }

  get teacher(): Visitor {
    return this.instructor as Visitor;
  }

  /** Somebody before the door, or wherever `path` leads. */
  visit(size: Size, path?: string, timezoneId?: string, room = this.room): Promise<Visitor> {
    return visit(this.browser as Browser, room, size, path, timezoneId);
  }

  /** Somebody who has come in. */
  async member(name: string, size: Size, pass: string | null = null): Promise<Visitor> {
    const visitor = await this.visit(size);
    await comeIn(visitor, name, pass);
    return visitor;
  }
}

/** Fills the form at the door. */
export async function comeIn({ page }: Visitor, name: string, pass: string | null = null): Promise<void> {
  await page.fill("#door-code", CODE);
  await page.fill("#door-name", name);
  if (pass !== null) {
    await page.click("text=I teach or run the telescope");
    await page.fill("#door-pass", pass);
  }
  await page.click("text=Come in");
  await page.waitForSelector("#main-controls button, #wall-order li");
}

/** Types a line; resolves with the answer's text. */
export async function ask(page: Page, line: string): Promise<string> {
  await page.evaluate(() => document.querySelector<HTMLElement>("#answer .close")?.click());
  await page.fill("#type-line", line);
  await page.press("#type-line", "Enter");
  return textOf(page, "#answer .reply");
}

/** Something that stands high now, whatever the season: the first of tonight's list. */
export async function upNow(page: Page): Promise<string> {
  const [, target] = /Ask for ([^\n]+)/.exec(await ask(page, "/tonight")) ?? [];
  return (target as string).trim();
}

/**
 * Gives the telescope staff's work for 50 minutes, so that whatever a student asks for waits:
 * without it, what stands highest is taken while the test still looks at it.
 */
export async function occupy({ page }: Visitor): Promise<void> {
  await ask(page, "/hold getting ready");
  expect(await ask(page, `/request ${await upNow(page)} clear 600 5 anyway=yes`)).toMatch(/#\d+ .*waiting/);
  await ask(page, "/resume");
}

/** What a reader sees of the first element that fits, waited for. */
export function textOf(page: Page, selector: string): Promise<string> {
  // biome-ignore lint/performance/useDomNodeTextContent: as it is seen, not as it is written
  return page.locator(selector).first().innerText();
}

/** Presses a control of the desk. */
export async function press(page: Page, command: string): Promise<void> {
  await page.click(`#controls [data-command=${command}]:visible, #staff [data-command=${command}]`);
}

/** The most green or blue in any pixel of what the screen shows, 0 to 255. */
export async function mostGreenOrBlue(page: Page): Promise<number> {
  const shown = (await page.screenshot()).toString("base64");
  const reader = await page.context().newPage();
  const most = await reader.evaluate(async (png) => {
    const bytes = await (await fetch(`data:image/png;base64,${png}`)).blob();
    const picture = await createImageBitmap(bytes);
    const { width, height } = picture;
    const paper = new OffscreenCanvas(width, height).getContext("2d") as OffscreenCanvasRenderingContext2D;
    paper.drawImage(picture, 0, 0);
    const { data } = paper.getImageData(0, 0, width, height);
    let found = 0;
    for (let at = 0; at < data.length; at += 4)
      found = Math.max(found, data[at + 1] as number, data[at + 2] as number);
    return found;
  }, shown);
  await reader.close();
  return most;
}

/** Nothing runs off the side of the screen. */
export async function expectNoSideways(page: Page): Promise<void> {
  const [wide, screen] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
  expect(wide).toBeLessThanOrEqual(screen as number);
}

/** No violation of WCAG 2.2 AA or of the checker's best practices. */
export async function expectAccessible(page: Page): Promise<void> {
  await page.evaluate(AXE);
  const violations = await page.evaluate(async () => {
    const { axe } = globalThis as unknown as {
      axe: {
        run(
          root: Document,
        ): Promise<{ violations: { id: string; nodes: { html: string; failureSummary: string }[] }[] }>;
      };
    };
    const found = await axe.run(document);
    return found.violations.map(
      ({ id, nodes }) => `${id}: ${nodes.map((node) => `${node.html} ${node.failureSummary}`).join("; ")}`,
    );
  });
  expect(violations).toEqual([]);
}

async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((done) => server.listen(0, "127.0.0.1", done));
  const { port } = server.address() as { port: number };
  await new Promise((done) => server.close(done));
  return port;
}
