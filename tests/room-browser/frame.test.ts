/** A student's frame comes back to the phone. */
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import {
  ask,
  comeIn,
  expectAccessible,
  hasBrowser,
  launch,
  RoomProgram,
  textOf,
  upNow,
  visit,
} from "./browser.js";

describe.skipIf(!hasBrowser())("a frame for a student on a phone", () => {
  const room = new RoomProgram(60);
  let browser: Browser;
  beforeAll(async () => {
    await room.start();
    browser = await launch();
  }, 60_000);
  afterAll(async () => {
    await browser?.close();
    await room.end();
  });

  test("a frame arrives: preview, what it is, verdict, the full file", async () => {
    const visitor = await visit(browser, room, [390, 844]);
    const { page } = visitor;
    await comeIn(visitor, "Bo");
    const target = await upNow(page);
    await ask(page, `/request ${target} clear 13 1`);
    await page.waitForSelector("#frames-body .frame img", { timeout: 120_000 });
    const figure = page.locator("#frames-body .frame").first();
    const words = await textOf(page, "#frames-body .frame");
    expect(words).toContain(target);
    expect(words).toMatch(/frame 1 of 1, 13 s, filter clear[\s\S]*(usable|black|synthetic)[\s\S]*SIMULATED/);
    await page.waitForFunction(() => {
      const image = document.querySelector<HTMLImageElement>("#frames-body .frame img");
      image?.scrollIntoView();
      return image?.complete && image.naturalWidth > 100;
    });
    const [download] = await Promise.all([page.waitForEvent("download"), figure.locator("a").click()]);
    expect(download.suggestedFilename()).toMatch(/\.fits$/);
    const stream = await download.createReadStream();
    const [first] = await stream.take(1).toArray();
    expect(String(first).slice(0, 9)).toBe("SIMPLE  =");
    stream.destroy();
    await page.waitForSelector("#log-body .you.completed .frame");
    await figure.locator("button").click();
    await expectAccessible(page);
    expect(visitor.complaints).toEqual([]);
    await page.context().close();
  }, 180_000);
});
