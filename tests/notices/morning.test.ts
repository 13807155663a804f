/** The morning summary: for those who slept, each result once. */
import { describe, expect, test } from "vitest";
import { HOUR } from "../../src/base/units.js";
import type { Notice } from "../../src/journal/notice.js";
import { MORNING_JOB } from "../../src/notices/morning.js";
import {
  black,
  EIGHT_PM,
  EVENING,
  EVENING_CHANNEL,
  MORNING,
  MORNING_CHANNEL,
  readNotice,
  Scene,
  usable,
} from "./scene.js";

/** 08:30 in Chicago on the morning after. */
const HALF_PAST_EIGHT = Date.UTC(2026, 10, 26, 14, 30);

async function morning(scene: Scene, dueUnixMs = HALF_PAST_EIGHT): Promise<readonly Notice[]> {
  await scene.clock.moveTo(dueUnixMs);
  return scene.happen(
    { type: "morning.summed", date: "2026-11-25" },
    { type: "job.ran", job: MORNING_JOB, dueUnixMs },
  );
}

describe("the morning summary", () => {
  test("tells those who wait for it what the night brought, in one post", async () => {
    const scene = new Scene();
    const [mira, tomas] = [await scene.join("mira"), await scene.join("tomas")];
    await scene.choose(mira, "morning");
    await scene.choose(tomas, "morning");
    await scene.complete(await scene.ask(mira), [usable, usable, usable]);
    await scene.complete(await scene.ask(tomas), [black("cloud")]);
    const failing = await scene.ask(mira);
    await scene.take(failing);
    await scene.happen({ type: "request.failed", number: failing, reason: "guiding lost" });
    await scene.ask(mira);
    const [notice, ...others] = await morning(scene);
    expect(others).toEqual([]);
    expect(notice).toMatchObject({
      kind: "morning",
      to: EVENING_CHANNEL,
      people: [mira, tomas],
      quiet: false,
    });
    const text = readNotice(notice!);
    expect(text).toContain("Last night: 2 requests completed and 1 failed");
    expect(text).toContain("#1 Hercules Cluster (M13), <hall:mira>: done, 3 usable frames, ");
    expect(text).toContain("#2 Hercules Cluster (M13), <hall:tomas>: done, but the frame is black");
    expect(text).toContain("failed (guiding lost)");
    expect(text).toContain("Still waiting: #4.");
  });

  test("says what waits of those who read it, of nobody else and of no other class", async () => {
    const scene = new Scene();
    const [mira, tomas] = [await scene.join("mira"), await scene.join("tomas")];
    const ines = await scene.join("ines", MORNING);
    await scene.choose(mira, "morning");
    await scene.complete(await scene.ask(mira), [usable]);
    await scene.ask(tomas);
    await scene.ask(ines);
    await scene.ask(mira);
    const [notice] = await morning(scene);
    expect(readNotice(notice!)).toContain("Still waiting: #4.");
  });

  test("names everyone whom a shared request is for, beside its one result", async () => {
    const scene = new Scene();
    const [mira, tomas] = [await scene.join("mira"), await scene.join("tomas")];
    await scene.choose(mira, "morning");
    await scene.choose(tomas, "morning");
    const number = await scene.ask(mira);
    await scene.happen({ type: "request.joined", number, personId: tomas });
    await scene.complete(number, [usable]);
    const [notice] = await morning(scene);
    expect(notice?.people).toEqual([mira, tomas]);
    const text = readNotice(notice!);
    expect(text).toContain("#1 Hercules Cluster (M13), <hall:mira> and <hall:tomas>: done");
    expect(text.match(/#1 /g)).toHaveLength(1);
  });

  test("tells those whose frames came in their quiet hours, and nobody who was awake", async () => {
    const scene = new Scene();
    const [mira, tomas] = [await scene.join("mira"), await scene.join("tomas")];
    await scene.complete(await scene.ask(mira), [usable]);
    await scene.clock.moveTo(EIGHT_PM + 4 * HOUR);
    const [atOnce] = await scene.complete(await scene.ask(tomas), [usable]);
    expect(atOnce).toMatchObject({ people: [tomas], quiet: true });
    const [notice, ...others] = await morning(scene);
    expect(others).toEqual([]);
    expect(notice?.people).toEqual([tomas]);
    expect(readNotice(notice!)).toMatch(
      /^Last night: 1 request completed\n#2 Hercules Cluster \(M13\): done/,
    );
  });

  test("is not sent when there is nothing to tell", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    await scene.choose(mira, "morning");
    await scene.ask(mira);
    expect(await morning(scene)).toEqual([]);
  });

  test("tells each result once: the next one begins where this one ended", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    await scene.choose(mira, "morning");
    await scene.complete(await scene.ask(mira), [usable]);
    expect(await morning(scene)).toHaveLength(1);
    expect(await morning(scene, HALF_PAST_EIGHT + 24 * HOUR)).toEqual([]);
    await scene.complete(await scene.ask(mira), [usable]);
    const [later] = await morning(scene, HALF_PAST_EIGHT + 7 * 24 * HOUR);
    expect(readNotice(later!)).toContain("#2 ");
    expect(readNotice(later!)).not.toContain("#1 ");
  });

  test("names the evening since which it tells, where that is not the last one", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    await scene.choose(mira, "morning");
    await morning(scene, EIGHT_PM);
    await scene.clock.moveTo(EIGHT_PM + 5 * HOUR);
    await scene.complete(await scene.ask(mira), [usable]);
    const [notice] = await morning(scene, HALF_PAST_EIGHT + 2 * 24 * HOUR);
    expect(notice?.title).toBe("Since Wed 25 Nov: 1 request completed");
  });

  test("says of many waiting requests where to hear their times", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    await scene.choose(mira, "morning");
    await scene.complete(await scene.ask(mira), [usable]);
    for (let count = 0; count < 8; count++) await scene.ask(mira);
    const [notice] = await morning(scene);
    expect(readNotice(notice!)).toContain("Still waiting: #2–#9. Type /when for their times.");
  });

  test("keeps classes apart, and writes directly to who wants that", async () => {
    const scene = new Scene();
    const [mira, otis] = [await scene.join("mira"), await scene.join("otis", MORNING)];
    await scene.choose(mira, "direct", "19:00", "08:00");
    await scene.choose(otis, "morning");
    await scene.complete(await scene.ask(mira), [usable]);
    await scene.complete(await scene.ask(otis), [usable]);
    const notices = await morning(scene);
    expect(notices.map(({ audience, people }) => [audience, people])).toEqual([
      ["person", [mira]],
      ["class", [otis]],
    ]);
    for (const notice of notices) expect(readNotice(notice)).not.toContain("hall:");
  });

  test("tells someone of two classes in each what ended in it, and nothing of the other", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    await scene.choose(mira, "morning");
    await scene.complete(await scene.ask(mira), [usable]);
    await scene.join("mira", MORNING);
    await scene.complete(await scene.ask(mira), [usable]);
    const notices = await morning(scene);
    expect(notices.map(({ classId, to }) => [classId, to])).toEqual([
      [EVENING, EVENING_CHANNEL],
      [MORNING, MORNING_CHANNEL],
    ]);
    const [first, second] = notices.map(readNotice);
    expect(first).toContain("#1 ");
    expect(first).not.toContain("#2 ");
    expect(second).toContain("#2 ");
    expect(second).not.toContain("#1 ");
  });

  test("cuts a long list short with a count", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    await scene.choose(mira, "morning");
    for (let count = 0; count < 23; count++) await scene.complete(await scene.ask(mira), [usable]);
    const [notice] = await morning(scene);
    expect(notice?.lines).toHaveLength(21);
    expect(readNotice(notice!)).toContain("And 3 more: type /mine");
  });
});
