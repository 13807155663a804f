/** Scheduled work: at its hour, made up for once after an absence, never twice. */
import { DateTime } from "luxon";
import { describe, expect, test } from "vitest";
import { silentLog } from "../../src/base/log.js";
import { DAY, HOUR, MINUTE, type UtcMillis } from "../../src/base/units.js";
import type { NightslateEvent } from "../../src/journal/events.js";
import { runSchedule, type Schedule } from "../../src/schedule/run-schedule.js";
import { EVENING, estimate, readNotice, Scene, twoClasses, usable } from "../notices/scene.js";

const CHICAGO = "America/Chicago";
const at = (local: string, zone = CHICAGO): UtcMillis => DateTime.fromISO(local, { zone }).toMillis();

/** A scene with a schedule, and the starts that the forecast gives. */
class Scheduled extends Scene {
  starts = new Map<number, UtcMillis | null>();
  /** On nights to come. */
  laterStarts = new Map<number, UtcMillis>();
  private schedule: Schedule | null = null;

  begin(): this {
    const expected = (number: number) => {
      const start = this.starts.get(number) ?? null;
      const later = this.laterStarts.get(number) ?? null;
      return { ...estimate(number, start === null ? null : 1, start), laterUnixMs: later };
    };
    const order = () => [...this.desk.state.waiting].map(expected);
    const { desk, clock, config } = this;
    this.schedule = runSchedule({
      desk,
      clock,
      config,
      forecast: { order, estimate: expected },
      log: silentLog,
    });
    return this;
  }

  /** The machine is off until then. */
  async offUntil(unixMs: UtcMillis): Promise<void> {
    await this.schedule?.stop();
    await this.clock.moveTo(unixMs);
    this.begin();
    await this.clock.moveTo(unixMs + 1);
  }

  async until(unixMs: UtcMillis): Promise<void> {
    // What has just begun runs at the instant at which it began.
    await this.clock.moveTo(this.clock.now());
    await this.clock.moveTo(unixMs);
  }

  /** What happened of some types, with the local time of each. */
  async log(...types: NightslateEvent["type"][]): Promise<string[]> {
    const zone = this.config.observatory.site.timeZone;
    const seen: string[] = [];
    for await (const { atUnixMs, events } of this.desk.entries()) {
      for (const event of events) {
        if (!types.includes(event.type)) continue;
        const date = "date" in event ? ` ${event.date}` : "";
        seen.push(
          `${event.type}${date} at ${DateTime.fromMillis(atUnixMs, { zone }).toFormat("MM-dd HH:mm")}`,
        );
      }
    }
    return seen;
  }
}

const daily = ["night.began", "dusk.noted", "morning.summed"] as const;

describe("the schedule", () => {
  test("begins the present night at its first start, and sums up no night before it", async () => {
    const scene = new Scheduled(at("2026-11-25T15:00")).begin();
    await scene.until(at("2026-11-25T15:01"));
    expect(await scene.log(...daily)).toEqual(["night.began 2026-11-25 at 11-25 15:00"]);
  });

  test("goes through the day: dusk, morning summary, noon", async () => {
    const scene = new Scheduled(at("2026-11-25T15:00")).begin();
    await scene.until(at("2026-11-26T13:00"));
    expect(await scene.log(...daily)).toEqual([
      "night.began 2026-11-25 at 11-25 15:00",
      "dusk.noted 2026-11-25 at 11-25 18:19",
      "morning.summed 2026-11-25 at 11-26 08:30",
      "night.began 2026-11-26 at 11-26 12:00",
    ]);
  });

  test("records each run in the entry of its effect", async () => {
    const scene = new Scheduled(at("2026-11-25T15:00")).begin();
    await scene.until(at("2026-11-26T13:00"));
    for await (const { events } of scene.desk.entries()) {
      expect(events.filter(({ type }) => type === "job.ran")).toHaveLength(1);
    }
  });

  test.each([
    ["spring, Chicago", CHICAGO, "2026-03-07T13:00", "03-08"],
    ["autumn, Chicago", CHICAGO, "2026-10-31T13:00", "11-01"],
    ["spring, Lord Howe Island", "Australia/Lord_Howe", "2026-10-03T13:00", "10-04"],
    ["autumn, Lord Howe Island", "Australia/Lord_Howe", "2026-04-04T13:00", "04-05"],
  ])("keeps its hours when the clocks change: %s", async (_, zone, start, day) => {
    const base = twoClasses();
    const config = {
      ...base,
      observatory: { ...base.observatory, site: { ...base.observatory.site, timeZone: zone } },
    };
    const scene = new Scheduled(at(start, zone), config).begin();
    await scene.until(at(start, zone) + 25 * HOUR);
    const seen = await scene.log("morning.summed", "night.began");
    expect(seen.slice(1)).toEqual([
      `morning.summed ${start.slice(0, 10)} at ${day} 08:30`,
      `night.began 2026-${day} at ${day} 12:00`,
    ]);
  });

  test("makes up once for what it missed, in order, whenever the machine comes back", async () => {
    const scene = new Scheduled(at("2026-11-25T15:00")).begin();
    await scene.until(at("2026-11-25T16:00"));
    await scene.offUntil(at("2026-11-26T20:00"));
    await scene.offUntil(at("2026-11-26T20:30"));
    expect((await scene.log(...daily)).slice(1)).toEqual([
      "morning.summed 2026-11-25 at 11-26 20:00",
      "night.began 2026-11-26 at 11-26 20:00",
      "dusk.noted 2026-11-26 at 11-26 20:00",
    ]);
  });

  test("runs nothing twice where two schedules work on one journal", async () => {
    const scene = new Scheduled(at("2026-11-25T15:00")).begin().begin();
    await scene.until(at("2026-11-26T13:00"));
    expect(await scene.log(...daily)).toHaveLength(4);
  });

  test("after a week away gives one summary, one new night, and no dusk note by day", async () => {
    const scene = new Scheduled(at("2026-11-25T15:00")).begin();
    const mira = await scene.join("mira");
    await scene.choose(mira, "morning");
    await scene.until(at("2026-11-25T23:00"));
    await scene.complete(await scene.ask(mira), [usable]);
    const [tonight, later] = [await scene.ask(mira), await scene.ask(mira)];
    scene.starts.set(tonight, at("2026-12-02T18:42"));
    scene.laterStarts.set(later, at("2026-12-03T19:05"));
    const summaries: string[] = [];
    scene.desk.listen(({ notices }) => {
      for (const notice of notices) if (notice.kind === "morning") summaries.push(readNotice(notice));
    });
    await scene.offUntil(at("2026-12-02T14:00"));
    await scene.until(at("2026-12-02T15:00"));
    expect((await scene.log(...daily)).slice(2)).toEqual([
      "morning.summed 2026-12-01 at 12-02 14:00",
      "night.began 2026-12-02 at 12-02 14:00",
    ]);
    expect(summaries).toHaveLength(1);
    expect(summaries[0]).toContain("Since Wed 25 Nov: 1 request completed");
    expect(summaries[0]).toContain("Still waiting: #2, about 18:42; #3, about 3 Dec, 19:05.");
  });

  test("a summary at 02:30 comes once in the night that has no 02:30", async () => {
    const base = twoClasses();
    const config = { ...base, notices: { ...base.notices, morningSummaryAt: "30 2 * * *" } };
    const scene = new Scheduled(at("2026-03-07T13:00"), config).begin();
    await scene.until(at("2026-03-09T04:00"));
    expect(await scene.log("morning.summed")).toEqual([
      "morning.summed 2026-03-07 at 03-08 03:00",
      "morning.summed 2026-03-08 at 03-09 02:30",
    ]);
  });

  test("a clock that jumps over daylight does not lose what lay between", async () => {
    const scene = new Scheduled(at("2026-11-26T06:00")).begin();
    await scene.until(at("2026-11-26T06:05"));
    await scene.offUntil(at("2026-11-26T18:30"));
    expect((await scene.log(...daily)).slice(1).map((line) => line.split(" ")[0])).toEqual([
      "dusk.noted",
      "morning.summed",
      "night.began",
      "dusk.noted",
    ]);
  });

  test("at noon what waits carries over, and each owner is told the new estimate once", async () => {
    const scene = new Scheduled(at("2026-11-25T20:00")).begin();
    const mira = await scene.join("mira");
    const [first, second, third] = [await scene.ask(mira), await scene.ask(mira), await scene.ask(mira)];
    await scene.happen({
      type: "estimates.told",
      estimates: [
        { number: first, startUnixMs: at("2026-11-26T03:00") },
        { number: second, startUnixMs: null },
        { number: third, startUnixMs: null },
      ],
    });
    scene.starts.set(first, at("2026-11-26T19:00"));
    scene.starts.set(second, at("2026-11-26T19:30"));
    const moved: string[] = [];
    scene.desk.listen(({ notices }) => {
      for (const notice of notices) if (notice.kind === "moved") moved.push(readNotice(notice));
    });
    await scene.until(at("2026-11-27T11:00"));
    expect(moved).toHaveLength(1);
    expect(moved[0]).toMatch(/^2 estimates moved\nThey carry over into the new night\./);
    expect(moved[0]).toContain("#1 Hercules Cluster (M13): now about 19:00");
    expect(moved[0]).toContain("#2 Hercules Cluster (M13): now about 19:30");
    let carried: readonly number[] = [];
    for await (const { events } of scene.desk.entries()) {
      for (const event of events) if (event.type === "night.began") carried = event.carriedOver;
    }
    expect(carried).toEqual([first, second, third]);
  });

  test("a timed hold and a session end at their instant, or at the start if that was missed", async () => {
    const start = at("2026-11-25T20:00");
    const scene = new Scheduled(start).begin();
    await scene.join("mira");
    const hold = (untilUnixMs: UtcMillis): NightslateEvent => ({
      type: "hold.placed",
      hold: { reason: "cloud", by: "hall:quill", sinceUnixMs: scene.clock.now(), untilUnixMs },
    });
    const session = (untilUnixMs: UtcMillis): NightslateEvent => ({
      type: "session.opened",
      classId: EVENING,
      by: "hall:quill",
      untilUnixMs,
    });
    await scene.happen(hold(start + 90_500));
    await scene.happen(session(start + 30 * MINUTE));
    await scene.until(start + HOUR);
    expect(scene.desk.state.hold).toBeNull();
    const ends: number[] = [];
    for await (const { atUnixMs, events } of scene.desk.entries()) {
      if (events.some(({ type }) => type === "hold.lifted" || type === "session.closed"))
        ends.push(atUnixMs - start);
    }
    expect(ends).toEqual([90_500, 30 * MINUTE]);
    await scene.happen(hold(scene.clock.now() + HOUR), session(scene.clock.now() + HOUR));
    await scene.offUntil(start + DAY);
    expect(scene.desk.state.hold).toBeNull();
    expect(scene.desk.state.sessions.size).toBe(0);
  });

  test("an open hold and an open session stay", async () => {
    const scene = new Scheduled(at("2026-11-25T20:00")).begin();
    const open = { reason: "cloud", by: "hall:quill", sinceUnixMs: scene.clock.now(), untilUnixMs: null };
    await scene.happen({ type: "hold.placed", hold: open });
    await scene.happen({ type: "session.opened", classId: EVENING, by: "hall:quill", untilUnixMs: null });
    await scene.until(at("2026-11-27T20:00"));
    expect(scene.desk.state.hold).not.toBeNull();
    expect(scene.desk.state.sessions.size).toBe(1);
  });

  test("where it never gets dark there is no dusk note", async () => {
    const base = twoClasses();
    const site = {
      ...base.observatory.site,
      latitudeDegrees: 66,
      timeZone: "Europe/Helsinki",
      longitudeDegrees: 25,
    };
    const config = { ...base, observatory: { ...base.observatory, site } };
    const scene = new Scheduled(at("2026-06-20T13:00", "Europe/Helsinki"), config).begin();
    await scene.until(at("2026-06-21T13:00", "Europe/Helsinki"));
    expect(await scene.log("dusk.noted")).toEqual([]);
  });
});

describe("people who have long asked for nothing", () => {
  test("are forgotten at noon once their data is older than it may be kept, and not before", async () => {
    const scene = new Scheduled(at("2026-11-25T20:00")).begin();
    const mira = await scene.join("mira");
    const start = scene.clock.now();
    const keepMs = scene.config.keepDays * DAY;
    await scene.offUntil(start + keepMs - 2 * DAY);
    expect(await scene.log("person.forgotten")).toEqual([]);
    await scene.offUntil(start + keepMs + 2 * DAY);
    expect(await scene.log("person.forgotten")).toHaveLength(1);
    expect(scene.desk.state.people.get(mira)?.name).toBe("someone");
    await scene.offUntil(start + keepMs + 5 * DAY);
    expect(await scene.log("person.forgotten")).toHaveLength(1);
  });
});
