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
  });
  afterAll(async () => {
    await browser?.close();
    await room.end();
  });

  test("a frame arrives: preview, what it is, verdict, the full file", async () => {
    const visitor = await visit(browser, room, [390, 844]);
    const { page } = visitor;
    await comeIn(visitor, "Bo");
    const second = await visit(browser, room, [390, 844]);
    await comeIn(second, "Cleopatra");
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
    await page.keyboard.press("Escape");
    // News of the queue takes nobody's place away.
    await figure.locator("a").focus();
    await page.evaluate(() => document.activeElement?.setAttribute("data-marked", ""));
    await ask(second.page, `/request ${target} clear 17 1 anyway=yes`);
    await page.waitForSelector("#order-list .row:has-text('Cleopatra')");
    expect(await page.evaluate(() => document.activeElement?.hasAttribute("data-marked"))).toBe(true);
    // An answer about it has the frame too, and no file names.
    const number = /#(\d+)/.exec(words)?.[1];
    expect(await ask(page, `/when ${number}`)).toMatch(/completed[\s\S]*Full frame/);
    expect(await textOf(page, "#answer .reply")).not.toMatch(/\.png|\.fits|data folder/);
    expect(visitor.complaints).toEqual([]);
    await page.context().close();
  });
});
