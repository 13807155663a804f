/** Another device, the same name: coming back by a code or a pass, leaving, and staff rights taken back. */
import type { Page } from "playwright-core";
import { describe, expect, test } from "vitest";
import {
  ask,
  ClassEvening,
  CODE,
  expectAccessible,
  hasBrowser,
  LAPTOP,
  PHONE,
  textOf,
  upNow,
} from "./browser.js";

describe.skipIf(!hasBrowser())("coming back", () => {
  const evening = new ClassEvening();

  test("a student whose phone broke is let back in on another one, where the request still counts down", async () => {
    const broken = await evening.member("Rosalind", PHONE);
    const target = await upNow(broken.page);
    expect(await ask(broken.page, `/request ${target} clear 20 1`)).toContain("in line");
    const fresh = await evening.visit(PHONE);
    await knock(fresh.page, CODE, "Rosalind");
    await fresh.page.waitForSelector("#door-problem:has-text('Ask your instructor to let you back in.')");
    const code = await letBack(evening.teacher.page, "Rosalind");
    await knock(fresh.page, code.toLowerCase(), "Rosalind");
    await fresh.page.waitForSelector("#next .when");
    expect(await textOf(fresh.page, "#next")).toContain(target);
    expect(await textOf(fresh.page, "#foot")).toContain("You are Rosalind, student");
    await broken.page.waitForSelector("#door :text('You came in on another device')");
    await expectAccessible(broken.page);
    expect(fresh.complaints.filter((each) => !each.includes("403"))).toEqual([]);
  });

  test("leaving says what it means; the name is kept, and the code lets its owner in again", async () => {
    const visitor = await evening.member("Emil", PHONE);
    const { page } = visitor;
    await page.click("text=Leave on this device");
    expect(await textOf(page, "#sheet")).toContain(
      "You will be signed out here. To come back as Emil, ask your instructor.",
    );
    await page.click("#sheet .go");
    await page.waitForSelector("#door :text('Your name stays yours')");
    await knock(page, await letBack(evening.teacher.page, "Emil"), "emil");
    await page.waitForSelector("#main-controls button");
    await page.context().close();
  });

  test("the instructor comes back on another computer with a new pass; a name without one opens its field", async () => {
    const visitor = await evening.visit(LAPTOP);
    const { page } = visitor;
    await knock(page, CODE, "Prof. Quill");
    await page.waitForSelector("#door-problem:has-text('add your pass below')");
    await page.fill("#door-pass", evening.room.pass);
    await page.click("#door .go");
    await page.waitForSelector("#staff-controls button");
    expect(await textOf(page, "#foot")).toContain("You are Prof. Quill, instructor");
    expect(await ask(evening.teacher.page, "/telescope")).not.toBe("");
    await page.context().close();
  });

  test("staff rights are taken back at the staff desk: the page that had them stands at the door", async () => {
    const visitor = await evening.member("Vale", LAPTOP, evening.room.pass);
    await evening.teacher.page.click("text=Take staff rights back");
    await evening.teacher.page.selectOption("#person", { label: "Vale, instructor" });
    await expectAccessible(evening.teacher.page);
    await evening.teacher.page.click("#sheet .go");
    await evening.teacher.page.waitForSelector("#person-done:has-text('Vale is a student now')");
    await evening.teacher.page.click("#sheet .close");
    await visitor.page.waitForSelector("#door :text('Your staff rights were taken back')");
    await visitor.page.context().close();
  });

  test("groups are there once the code is right, and a wrong one is said before the name is typed", async () => {
    const { page } = await evening.visit(PHONE);
    expect(await page.isVisible("text=Alder")).toBe(false);
    await page.fill("#door-code", "WRONG-ONE");
    await page.focus("#door-name");
    await page.waitForSelector("#door-problem:has-text('That is not the class code. Ask your instructor.')");
    await page.fill("#door-code", CODE);
    await page.focus("#door-name");
    await page.waitForSelector("label:has-text('Alder')");
    expect(await textOf(page, "#door-problem")).toBe("");
    expect(await textOf(page, "#door-class")).toBe("Evening Survey, section 2");
    await page.context().close();
  });
});

/** Fills the door and presses its button, whatever comes of it. */
async function knock(page: Page, code: string, name: string): Promise<void> {
  await page.fill("#door-code", code);
  await page.fill("#door-name", name);
  await page.click("#door .go");
}

/** Makes a code for someone at the staff desk; resolves with it. */
async function letBack(page: Page, name: string): Promise<string> {
  await page.click("text=Let someone back in");
  await page.selectOption("#person", { label: name });
  await page.click("#sheet .go");
  const code = await textOf(page, "#person-done .code");
  await page.click("#sheet .close");
  return code;
}
