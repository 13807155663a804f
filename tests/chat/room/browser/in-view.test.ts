/** What must always be in view, on every screen, in the observatory's time. */
import { describe, expect, test } from "vitest";
import {
  ask,
  ClassEvening,
  comeIn,
  expectAccessible,
  expectNoSideways,
  hasBrowser,
  PHONE,
  press,
  RoomProgram,
  textOf,
  upNow,
  type Visitor,
} from "./browser.js";

const SIZES = [
  [320, 568],
  [390, 844],
  [768, 1024],
  [1024, 768],
  [1280, 720],
] as const;

describe.skipIf(!hasBrowser())("in view", () => {
  let teacher: Visitor;
  let student: Visitor;
  const evening = new ClassEvening(async () => {
    teacher = evening.teacher;
    student = await evening.member("Nova", PHONE);
    await ask(student.page, `/request ${await upNow(student.page)} clear 30 1 anyway=yes`);
    await student.page.waitForSelector("#next .when");
  });

  test("nothing runs off the side, whatever the screen, with large text too", async () => {
    for (const { page } of [student, teacher]) {
      const before = page.viewportSize();
      for (const [width, height] of SIZES) {
        await page.setViewportSize({ width, height });
        await expectNoSideways(page);
      }
      await page.setViewportSize({ width: 390, height: 844 });
      await page.evaluate(() => document.documentElement.style.setProperty("font-size", "212.5%"));
      await expectNoSideways(page);
      await page.evaluate(() => document.documentElement.style.removeProperty("font-size"));
      if (before) await page.setViewportSize(before);
    }
  });

  test("a line at the foot has the next request and the telescope once they are scrolled away", async () => {
    const { page } = student;
    await page.evaluate(() => scrollTo(0, 0));
    await page.waitForSelector("#strip", { state: "hidden" });
    await page.locator("#foot").scrollIntoViewIfNeeded();
    await page.waitForSelector("#strip:visible");
    expect(await textOf(page, "#strip .mine")).toMatch(
      /▶ #\d+ .+, (next|first|number \d+), \d\d:\d\d.*(in |any moment)/,
    );
    expect(await textOf(page, "#strip .does")).not.toBe("");
    await expectAccessible(page);
  });

  test("what is typed in the observatory's time is read in it, and a far reader is told so once", async () => {
    const far = await evening.visit(PHONE, "/", "Asia/Tokyo");
    await comeIn(far, "Zacharias");
    await far.page.waitForSelector("#clock:has-text('behind yours')");
    expect(await textOf(far.page, "#clock")).toMatch(/\(observatory time, 1[45] h behind yours\)/);
    const [, hours, minutes] = /(\d\d):(\d\d)/.exec(await textOf(teacher.page, "#clock")) as RegExpExecArray;
    const until = `${String((Number(hours) + 1) % 24).padStart(2, "0")}:${minutes}`;
    await press(teacher.page, "hold");
    expect(await teacher.page.evaluate(() => (document.activeElement as HTMLInputElement).name)).toBe(
      "reason",
    );
    await teacher.page.fill(
      "#sheet [name=reason]",
      "looking after a cable that runs across the floor of the dome, with the lights on",
    );
    await teacher.page.fill("#sheet [name=until]", until);
    await teacher.page.click("#sheet .go:has-text('Place the hold')");
    await far.page.waitForSelector(`#banner:has-text('On hold until ${until}')`);
    expect(await textOf(far.page, "#banner")).toContain("no interlock");
    await far.page.click("#banner .more");
    await expectAccessible(far.page);
    await far.page.context().close();
  });

  test("the classroom screen fits while on hold, and a student finds the way back", async () => {
    const wall = await evening.visit([1280, 720], "/wall");
    await comeIn(wall, "Wilhelmina");
    await wall.page.waitForSelector("#wall-banner:visible");
    const [tall, screen] = await wall.page.evaluate(() => [
      document.documentElement.scrollHeight,
      innerHeight,
    ]);
    expect(tall).toBeLessThanOrEqual(screen as number);
    expect(await textOf(wall.page, "#wall-next-head")).toMatch(/waiting|Next/i);
    const sizes = await wall.page.$$eval("#wall-banner p", (lines) =>
      lines.map((line) => Number.parseFloat(getComputedStyle(line).fontSize)),
    );
    expect(sizes[0]).toBeGreaterThan(sizes[1] as number);
    await wall.page.click("text=Back to the desk");
    await wall.page.waitForSelector("#order-list .row");
    await wall.page.context().close();
    await ask(teacher.page, "/resume");
  });

  test("completion takes several words for one name, the best first", async () => {
    const { page } = student;
    for (const typed of ["/request ring ne", '/request "ring ne']) {
      await page.fill("#type-line", typed);
      await page.waitForSelector("#type-list[aria-busy=false] [role=option]");
      expect(await textOf(page, "#type-list [role=option] >> nth=0")).toMatch(/^Ring Nebula/);
    }
    await page.press("#type-line", "ArrowDown");
    await page.press("#type-line", "Enter");
    expect(await page.inputValue("#type-line")).toBe("/request M57 ");
    await page.fill("#type-line", "");
  });

  test("without a connection the page says of when it is, and its clock stands", async () => {
    const { page } = student;
    await evening.room.kill();
    await page.waitForSelector("#away:has-text('This is as of')");
    await teacher.page.waitForSelector("#away:visible");
    await teacher.page.click("#stop");
    await teacher.page.waitForSelector("#answer:has-text('Not sent: you are offline')");
    expect(await textOf(teacher.page, "#answer")).toContain(
      "Use the stop at the telescope. It is not sent later.",
    );
    await page.waitForSelector("#clock:has-text('stopped')");
    await page.locator("#foot").scrollIntoViewIfNeeded();
    await page.waitForSelector("#strip:has-text('as of')");
    expect(await page.locator("#away").evaluate((each) => each.getBoundingClientRect().top)).toBe(0);
    expect(student.complaints.filter((text) => !/WebSocket|ERR_|Failed to load/.test(text))).toEqual([]);
  });

  test("under a telescope that people work by hand nothing on any page is of practice", async () => {
    const real = new RoomProgram(null);
    await real.start();
    const { page, ...rest } = await evening.visit([1280, 720], "/", "America/Chicago", real);
    const seen = [await textOf(page, "body")];
    await comeIn({ page, ...rest }, "Tam Okoro", real.pass);
    seen.push(
      await ask(page, "/tonight"),
      await ask(page, "/equipment camera away"),
      await textOf(page, "body"),
    );
    await page.goto(`${real.url}/wall`);
    await page.waitForSelector("#wall:visible");
    seen.push(await textOf(page, "body"));
    await real.end();
    for (const text of seen) expect(text).not.toMatch(/practi[cs]e|simulated|invented|faster than/i);
    expect(seen[1]).toContain("Moon");
  });
});
