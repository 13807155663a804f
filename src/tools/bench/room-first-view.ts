/** How soon a slow phone shows the desk, and what it has to fetch: in a real browser, where there is one. */
import { existsSync } from "node:fs";
import type { Browser } from "playwright-core";
import { type RoomProgram, startRoom } from "./room-program.js";
import { atMost, type BenchRow, figure, median } from "./row.js";

const CHROMIUM = process.env.CHROMIUM ?? "/usr/bin/chromium";
const CPU_SLOW_DOWN = 4;
const TIMES = 5;
const VIEW_LIMIT_MS = 1_000;
const BYTES_LIMIT = 150_000;

/** No rows, and a line on standard error, where there is no browser. */
export async function roomFirstView(): Promise<readonly BenchRow[]> {
  if (!existsSync(CHROMIUM)) {
    process.stderr.write(
      `Left out: the room's first view. ${CHROMIUM} is missing: apt-get install chromium.\n`,
    );
    return [];
  }
  const { chromium } = await import("playwright-core");
  const room = await startRoom();
  const args = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking"];
  const browser = await chromium.launch({ executablePath: CHROMIUM, args });
  try {
    const cookie = await room.join("Nova");
    // A phone joins a program that has been running: the page's files are compressed, the evening has begun.
    await view(browser, room, cookie);
    const views: View[] = [];
    for (let index = 0; index < TIMES; index++) views.push(await view(browser, room, cookie));
    const shown = median(views.map((each) => each.shownMs));
    const painted = median(views.map((each) => each.paintedMs));
    const bytes = Math.max(...views.map((each) => each.bytes));
    return [
      figure("room, first paint of it", painted, "ms"),
      atMost(`room, first view, CPU ${CPU_SLOW_DOWN} times slower`, shown, "ms", VIEW_LIMIT_MS),
      atMost("room, transferred for the first view", bytes / 1_000, "kB", BYTES_LIMIT / 1_000),
    ];
  } finally {
    await browser.close();
    await room.stop();
  }
}

interface View {
  readonly shownMs: number;
  readonly paintedMs: number;
  readonly bytes: number;
}

/** A member's desk with nothing cached: until the run order, the sky and the controls are there. */
async function view(browser: Browser, room: RoomProgram, cookie: string): Promise<View> {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 } });
  const [name = "", value = ""] = cookie.split(/=(.*)/s);
  await context.addCookies([{ name, value, url: room.url }]);
  const page = await context.newPage();
  const devTools = await context.newCDPSession(page);
  await devTools.send("Network.enable");
  await devTools.send("Emulation.setCPUThrottlingRate", { rate: CPU_SLOW_DOWN });
  let bytes = 0;
  devTools.on("Network.loadingFinished", (event) => {
    bytes += event.encodedDataLength;
  });
  devTools.on("Network.webSocketFrameReceived", ({ response }) => {
    bytes += response.payloadData.length;
  });
  await page.goto(room.url, { waitUntil: "commit" });
  const shown = await page.waitForFunction(deskShownMs, null, { polling: "raf" });
  const shownMs = (await shown.jsonValue()) as number;
  const paintedMs = await page.evaluate(firstPaintMs);
  await context.close();
  return { shownMs, paintedMs, bytes };
}

/** Runs in the page: milliseconds from the start of its loading, once everything of the first view is there. */
function deskShownMs(): number | false {
  const { document } = globalThis as unknown as { document: { querySelector(selector: string): unknown } };
  const parts = ["#main-controls button", "#order-list .row", "#sky-body svg"];
  return parts.every((part) => document.querySelector(part)) && performance.now();
}

/** Runs in the page: when anything was there to see. */
function firstPaintMs(): number {
  return performance.getEntriesByName("first-contentful-paint")[0]?.startTime ?? 0;
}
