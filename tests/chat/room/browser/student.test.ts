/** A student with a phone: joining, asking, watching, being told. */
import { describe, expect, test } from "vitest";
import {
  ask,
  ClassEvening,
  CODE,
  comeIn,
  expectAccessible,
  expectNoSideways,
  hasBrowser,
  mostGreenOrBlue,
  PHONE,
  press,
  textOf,
  upNow,
} from "./browser.js";

describe.skipIf(!hasBrowser())("a student on a phone", () => {
  const evening = new ClassEvening();

  test("comes in from the QR code with name alone, sees the desk, and nothing comes from elsewhere", async () => {
    const visitor = await evening.visit(PHONE, `/#${CODE}`);
    const { page } = visitor;
    // The groups are there once the code has been found right.
    await page.waitForSelector("label:has-text('Birch')");
    await expectAccessible(page);
    expect(await page.inputValue("#door-code")).toBe(CODE);
    await page.fill("#door-name", "Wilma");
    await page.click("label:has-text('Birch')");
    await page.click("text=Come in");
    await page.waitForSelector("#order-list .row");
    expect(await textOf(page, "#clock")).toMatch(
      /Practice time .* 10 times faster than your watch.*SIMULATED/,
    );
    expect(await textOf(page, "#scope-body")).toMatch(/dome|Dome|Slewing|Exposing|Reading|Handing|target/);
    expect(visitor.elsewhere).toEqual([]);
    expect(visitor.complaints).toEqual([]);
    expect(visitor.bytes()).toBeLessThan(150_000);
    await page.context().close();
  });

  test("asks without typing: presses, chooses what stands high, sees place, range and countdown", async () => {
    const visitor = await evening.member("Nova", PHONE);
    const { page } = visitor;
    await press(page, "request");
    await page.waitForSelector("#sheet .choice");
    await expectAccessible(page);
    expect(await textOf(page, "#sheet .choice >> nth=0")).toMatch(/\d+° up/);
    await page.click("#sheet .choice >> nth=0");
    await page.click("#sheet .go");
    await page.waitForSelector("#answer .reply");
    expect(await textOf(page, "#answer .reply")).toMatch(/in line/);
    await page.waitForSelector("#next .when");
    expect(await textOf(page, "#next")).toMatch(/(Next|First|Number \d+) in line, starts about \d\d:\d\d/);
    const first = await textOf(page, "#next .count");
    await page.waitForFunction(
      (before) => document.querySelector("#next .count")?.textContent !== before,
      first,
    );
    expect(await textOf(page, "#order-list .you")).toContain("▶ yours");
    await page.waitForSelector("#sky-body .sky-target.you");
    await page.click("text=The same in words");
    await page.waitForSelector("#sky-body li:has-text('yours')");
    await expectAccessible(page);
    await page.click("#light");
    await expectAccessible(page);
    expect(await mostGreenOrBlue(page)).toBeLessThanOrEqual(8);
    await press(page, "request");
    await page.waitForSelector("#sheet .choice");
    expect(await mostGreenOrBlue(page)).toBeLessThanOrEqual(8);
    expect(visitor.complaints).toEqual([]);
    await page.context().close();
  });

  test("news comes to the top, is counted by the tab's title, stays until it is closed, and is not told twice", async () => {
    const { page } = await evening.member("Lena", PHONE);
    const number = /#(\d+)/.exec(await ask(page, `/request ${await upNow(page)} V 300 2 anyway=yes`))?.[1];
    await ask(evening.teacher.page, "/announce Bring a coat.");
    await page.waitForSelector("#news .said:has-text('Bring a coat.')");
    await ask(evening.teacher.page, `/cancel ${number} reason=cloud coming in`);
    await page.waitForSelector(`#news .bad:has-text('#${number}'):has-text('cloud coming in')`);
    // The answer that promised a start has gone with its request.
    await page.waitForSelector("#answer .reply", { state: "detached" });
    expect(await page.title()).toBe("(2) Nightslate");
    await expectAccessible(page);
    await page.reload();
    await page.waitForSelector("#news .bad");
    expect(await page.locator("#news .card").count()).toBe(2);
    await page.click("#news .bad .close");
    await page.reload();
    await page.waitForSelector("#news .said");
    expect(await page.locator("#news .card").count()).toBe(1);
    expect(await page.title()).toBe("(1) Nightslate");
    await page.context().setOffline(true);
    await page.waitForSelector("#away:has-text('Not connected')", { timeout: 1_000 });
    await page.context().close();
  });

  test("every control is large enough for a thumb, and nothing runs off the side", async () => {
    const visitor = await evening.member("Otto", PHONE);
    const { page } = visitor;
    await ask(page, "/queue");
    await page.click("text=Everything you can do");
    const small = await page.$$eval("button, a.act, summary, input", (controls) =>
      controls
        .filter((each) => (each as HTMLElement).offsetParent !== null)
        .map((each) => ({ text: each.textContent, height: each.getBoundingClientRect().height }))
        .filter(({ height }) => height < 44),
    );
    expect(small).toEqual([]);
    await expectNoSideways(page);
    await page.context().close();
  });

  test("by keyboard alone: completes a command, asks, in plain words too, and withdraws", async () => {
    const visitor = await evening.member("Kai", PHONE);
    const { page } = visitor;
    const target = await upNow(page);
    await page.focus("#place");
    expect(await page.evaluate(() => document.activeElement?.id)).toBe("place");
    await page.keyboard.press("Shift+Tab");
    await page.keyboard.press("Enter");
    expect(await page.evaluate(() => document.activeElement?.id)).toBe("type-line");
    await page.keyboard.type("/req");
    await page.waitForSelector("#type-list[aria-busy=false] [role=option]");
    await page.keyboard.press("ArrowDown");
    await page.keyboard.press("Enter");
    expect(await page.inputValue("#type-line")).toBe("/request ");
    await page.keyboard.type("M3");
    await page.waitForSelector("#type-list[aria-busy=false] [role=option]:has-text('M3')");
    await page.keyboard.press("ArrowDown");
    await page.keyboard.press("Tab");
    expect(await page.inputValue("#type-line")).toMatch(/^\/request M3\d* $/);
    await page.fill("#type-line", `/request ${target} V 120 3`);
    await page.keyboard.press("Escape");
    await page.keyboard.press("Enter");
    await page.waitForSelector("#answer .reply");
    expect(await ask(page, "When will mine run?")).toContain(target);
    expect(await ask(page, "/reqest M31")).toContain("/request");
    await page.focus("[data-command=withdraw]");
    await page.keyboard.press("Enter");
    await page.waitForSelector("#sheet .chip");
    await page.keyboard.press("Escape");
    expect(await page.isVisible("#sheet")).toBe(false);
    await page.keyboard.press("Enter");
    await page.waitForSelector("#sheet .chip");
    await page.focus("#sheet .go");
    await page.keyboard.press("Enter");
    await page.waitForSelector("#answer .reply:has-text('withdrawn')");
    expect(visitor.complaints).toEqual([]);
    await page.context().close();
  });

  test("two people cannot take one name; the form says what to do and keeps what was typed", async () => {
    const [first, second] = [await evening.visit(PHONE), await evening.visit(PHONE)];
    await comeIn(first, "Ada");
    await second.page.fill("#door-code", CODE);
    await second.page.fill("#door-name", "ada");
    await second.page.click("text=Come in");
    await second.page.waitForSelector("#door-problem:has-text('add a letter')");
    expect(await second.page.inputValue("#door-name")).toBe("ada");
    await first.page.context().close();
    await second.page.context().close();
  });
});
