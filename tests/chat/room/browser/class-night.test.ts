/** Instructor and student at once; reloads, sleep, and a server that is killed in the middle. */
import type { Page } from "playwright-core";
import { describe, expect, test } from "vitest";
import {
  ask,
  ClassEvening,
  expectAccessible,
  expectNoSideways,
  hasBrowser,
  PHONE,
  press,
  textOf,
  upNow,
  type Visitor,
} from "./browser.js";

describe.skipIf(!hasBrowser())("a class night", () => {
  let teacher: Visitor;
  let student: Visitor;
  /** Stands high, whatever the date. */
  let target: string;
  const evening = new ClassEvening(async () => {
    teacher = evening.teacher;
    student = await evening.member("Nova", PHONE);
    target = await upNow(student.page);
  });
  const { room } = evening;

  test("the instructor announces by a form; the student reads it, once", async () => {
    await press(teacher.page, "announce");
    await teacher.page.fill("#sheet [name=text]", "Two more minutes & <b>then</b> Saturn.");
    await teacher.page.click("#sheet .go");
    const entry = student.page.locator("#log-body .announcement");
    await entry.filter({ hasText: "Two more minutes & <b>then</b> Saturn." }).waitFor();
    expect(await entry.count()).toBe(1);
    expect(await textOf(student.page, "#log-body .announcement")).toContain("for everyone");
  });

  test("cancels everything with a reason, and undoes it with one press", async () => {
    await ask(student.page, `/request ${target} V 300 3 anyway=yes`);
    await ask(teacher.page, "/cancel all reason=cloud from the west");
    await student.page.waitForSelector("#log-body .cancelled.you:has-text('cloud from the west')");
    await teacher.page.click("#answer button:has-text('Undo')");
    await student.page.waitForSelector("#log-body .restored.you");
    await student.page.waitForSelector(`#next:has-text('${target}')`);
  });

  test("a command with many options: what must be given is in sight, suggestions come when asked for", async () => {
    await ask(student.page, `/request ${target} V 300 2 anyway=yes`);
    const { page } = teacher;
    await press(page, "cancel");
    await page.waitForSelector("#sheet [name=reason]");
    expect(await page.isVisible("#sheet [name=reason]")).toBe(true);
    await page.click("#sheet label:has-text('a person')");
    await page.waitForSelector("#sheet .choice");
    await page.fill("#sheet [name=person]", "nov");
    await page.click("#sheet .choice:has-text('Nova')");
    await page.fill("#sheet [name=reason]", "asked twice");
    await page.click("#sheet .go");
    await student.page.waitForSelector("#log-body .cancelled.you:has-text('asked twice')");
    await ask(teacher.page, "/undo");
    await ask(teacher.page, "/compare");
    for (const { page } of [teacher, student]) await expectNoSideways(page);
    const [answer, staff] = await Promise.all(
      ["#answer", "#staff"].map((each) => page.locator(each).boundingBox()),
    );
    expect((answer?.x ?? 0) + (answer?.width ?? 0)).toBeLessThanOrEqual(staff?.x ?? 0);
  });

  test("holds, with reason and caution on both screens, and resumes", async () => {
    await press(teacher.page, "hold");
    await teacher.page.fill("#sheet [name=reason]", "people in the dome");
    await teacher.page.click("#sheet .go");
    for (const { page } of [teacher, student]) {
      await page.waitForSelector("#banner:visible:has-text('people in the dome')");
      expect(await textOf(page, "#banner")).toMatch(/no interlock/);
      await expectAccessible(page);
    }
    await press(teacher.page, "resume");
    for (const { page } of [teacher, student]) await page.waitForSelector("#banner", { state: "hidden" });
  });

  test("a form that is refused says why and keeps what was typed", async () => {
    const { page } = student;
    await press(page, "request");
    await page.fill("#sheet [name=target]", "Sun");
    await page.fill("#sheet [name=frames]", "2");
    await page.click("#sheet .go");
    await page.waitForSelector("#sheet .problem:has-text('Sun')");
    await expectAccessible(page);
    expect(await page.inputValue("#sheet [name=frames]")).toBe("2");
    await page.fill("#sheet [name=target]", target);
    await page.click("#sheet .go");
    await page.waitForSelector("#sheet", { state: "hidden" });
    expect(await textOf(page, "#answer .reply")).toContain(target);
  });

  test("chooses the rule and takes the results home", async () => {
    await press(teacher.page, "rule");
    await teacher.page.click("#sheet label:has-text('first-come')");
    await teacher.page.click("#sheet .go");
    await student.page.waitForSelector("#order-note:has-text('in order of asking')");
    await ask(teacher.page, "/results");
    const [download] = await Promise.all([
      teacher.page.waitForEvent("download"),
      teacher.page.click("#answer a[download]"),
    ]);
    expect(download.suggestedFilename()).toMatch(/\.csv$/);
    await expectAccessible(teacher.page);
  });

  test("the classroom screen shows now, next and the sky, and how to join on request", async () => {
    const { page } = teacher;
    await page.goto(`${room.url}/wall`);
    await page.waitForSelector("#wall-order .row");
    await page.waitForSelector("#wall-sky svg .sky-rim");
    await page.waitForSelector("#wall-clock:has-text(':')");
    expect(await textOf(page, "#wall-clock")).toMatch(/^\d\d:\d\d$/);
    expect(await textOf(page, "#wall-said")).toContain("Saturn");
    await page.click("text=How to join");
    expect(await textOf(page, "#wall-entry")).toContain("LANTERN-7");
    await expectAccessible(page);
    await page.goto(room.url);
    await page.waitForSelector("#staff-controls button");
  });

  test("a reload in the middle loses nothing and repeats nothing", async () => {
    const { page } = student;
    const before = await log(page);
    await ask(teacher.page, "/announce While you reloaded");
    await page.reload();
    await page.waitForSelector("#log-body :text('While you reloaded')");
    const after = await log(page);
    expect(new Set(after).size).toBe(after.length);
    expect(after).toEqual(expect.arrayContaining(before.slice(0, 40)));
    expect(after).toEqual([...after].sort(newestFirst));
  });

  test("a phone that slept catches up", async () => {
    const { page } = student;
    const session = await page.context().newCDPSession(page);
    await session.send("Page.setWebLifecycleState", { state: "frozen" });
    for (const text of ["asleep one", "asleep two"]) await ask(teacher.page, `/announce ${text}`);
    await session.send("Page.setWebLifecycleState", { state: "active" });
    await page.waitForSelector("#log-body :text('asleep two')");
    expect(await page.locator("#log-body :text('asleep one')").count()).toBe(1);
  });

  test("the server is killed and restarted: the page returns by itself, asks again what was open, misses nothing", async () => {
    const { page } = student;
    const before = await log(page);
    await room.kill();
    await page.waitForSelector("#away:visible");
    await page.fill("#type-line", `/request ${target} clear 25 1 anyway=yes`);
    await page.press("#type-line", "Enter");
    await room.start();
    await page.waitForSelector("#answer .reply:has-text('25 s')");
    await page.waitForSelector("#away", { state: "hidden" });
    await ask(teacher.page, "/announce After the restart");
    await page.waitForSelector("#log-body :text('After the restart')");
    expect((await ask(page, "/mine")).match(/1 frame of 25 s/g)).toHaveLength(1);
    const after = await log(page);
    expect(new Set(after).size).toBe(after.length);
    expect(after).toEqual(expect.arrayContaining(before));
    expect(after).toEqual([...after].sort(newestFirst));
    expect(await teacher.page.isVisible("#staff")).toBe(true);
  });

  test("nothing was complained about but the lost connection", () => {
    const lost = /WebSocket connection|ERR_CONNECTION_REFUSED|Failed to load resource/;
    expect([...teacher.complaints, ...student.complaints].filter((text) => !lost.test(text))).toEqual([]);
  });
});

/** The log's places, top to bottom. */
function log(page: Page): Promise<string[]> {
  return page.$$eval("#log-body .entry", (entries) =>
    entries.map((each) => (each as HTMLElement).dataset.seq ?? ""),
  );
}

function newestFirst(a: string, b: string): number {
  const [entryA = 0, placeA = 0] = a.split("-").map(Number);
  const [entryB = 0, placeB = 0] = b.split("-").map(Number);
  return entryB - entryA || placeB - placeA;
}
