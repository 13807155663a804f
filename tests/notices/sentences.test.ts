/** Every kind of sentence says what happened, why, and what to do next, with its numbers. */
import { describe, expect, test } from "vitest";
import { count } from "../../src/base/english.js";
import { HOUR, MINUTE } from "../../src/base/units.js";
import type { NightslateEvent, Verdict } from "../../src/journal/events.js";
import type { Notice } from "../../src/journal/notice.js";
import { degrees, duration, numberList } from "../../src/notices/words/amounts.js";
import { verdictWords } from "../../src/notices/words/verdicts.js";
import { black, EIGHT_PM, EVENING, readNotice, Scene, usable } from "./scene.js";

async function completed(verdicts: readonly (Verdict | null)[]): Promise<Notice> {
  const scene = new Scene();
  const number = await scene.ask(await scene.join("mira"));
  return (await scene.complete(number, verdicts))[0]!;
}

async function told(event: (mira: string, number: number) => NightslateEvent): Promise<string> {
  const scene = new Scene();
  const mira = await scene.join("mira");
  const [notice] = await scene.happen(event(mira, await scene.ask(mira)));
  return readNotice(notice!);
}

describe("a completed request", () => {
  test("that worked leads with the count, and says what is seen and where it is", async () => {
    const notice = await completed([usable, usable, usable]);
    const text = readNotice(notice);
    expect(notice.title).toBe("#1 Hercules Cluster (M13): done, 3 usable frames");
    expect(text).toMatch(/3 frames of 20 s through filter V, the last ended at 20:01/);
    expect(text).toContain("Usable: 143 stars seen.");
    expect(text).toContain("SIMULATED");
    expect(text).toContain("/mine");
    expect(notice.attachment?.file).toBe("frames/1-3.png");
    expect(notice.attachment?.altText).toBe(
      "Simulated frame 3 of 3: Hercules Cluster (M13), 20 s through filter V; usable: 143 stars seen.",
    );
    expect(notice.actions).toEqual([]);
  });

  test("that is overexposed, or shows no star, is not called a frame full of stars", async () => {
    const full = { ...usable, starsSeen: 0, saturatedShare: 0.82 };
    expect(readNotice(await completed([full]))).toContain(
      "Usable, but overexposed: 82 % of the pixels are full; ask for a shorter exposure.",
    );
    const planet = { ...usable, starsSeen: 0, saturatedShare: 0 };
    expect(readNotice(await completed([planet]))).toContain("Usable: light well above the noise.");
  });

  test("that came out black in daylight says how high the Sun was and when it is dark", async () => {
    const scene = new Scene(EIGHT_PM - 6 * HOUR);
    const number = await scene.ask(await scene.join("mira"));
    const [notice] = await scene.complete(number, [black("sun-up", 12.2)]);
    const lines = readNotice(notice!).split("\n");
    expect(lines[0]).toBe("#1 Hercules Cluster (M13): done, but the frame is black");
    expect(lines[1]).toContain("1 frame of 20 s");
    expect(lines[2]).toBe("Black: the Sun was up, 12° above the horizon at mid-exposure.");
    expect(lines.at(-1)).toMatch(/^Ask again after dusk at 18:18\.$/);
    expect(notice?.actions).toEqual([
      {
        command: "request",
        options: { target: "M13", filter: "V", exposure: 20, frames: 3 },
        label: "Ask again",
        onlyFor: "hall:mira",
        about: 1,
      },
    ]);
  });

  test.each([
    ["cloud", "Black: cloud, 1 of 40 expected stars seen.", "cleared"],
    ["dome-shut", "Black: the dome was shut, 1 of 40 expected stars seen.", "operator"],
    [
      "no-camera",
      "Synthetic: no camera is fitted, so the picture was computed and not taken.",
      "camera is back",
    ],
    [
      "unknown",
      "Black: the cause is not known (1 of 40 expected stars seen, middle pixel value 1003 ADU).",
      "before asking",
    ],
  ] as const)("spoilt by %s gives the evidence, then advice", async (because, reason, advice) => {
    const notice = await completed([black(because), black(because)]);
    const lines = readNotice(notice).split("\n");
    expect(notice.title).toMatch(/done, but both frames are (black|synthetic)$/);
    expect(lines[2]).toBe(reason);
    expect(lines.at(-1)).toContain(advice);
  });

  test("with frames of both kinds counts them apart and shows a usable one", async () => {
    const notice = await completed([usable, usable, black("cloud")]);
    const text = readNotice(notice);
    expect(notice.title).toContain("done, 2 of 3 frames usable");
    expect(text).toContain("2 frames usable: 143 stars seen.");
    expect(text).toContain("1 frame black: cloud, 1 of 40 expected stars seen.");
    expect(notice.attachment?.file).toBe("frames/1-2.png");
  });

  test("without frames, or without verdicts, says no more than is known", async () => {
    expect(readNotice(await completed([]))).toContain("No frames were handed over");
    const unjudged = await completed([null]);
    expect(unjudged.title).toContain("done, 1 frame");
    expect(readNotice(unjudged)).toContain("(3 were asked for)");
  });

  test("in twilight says how little the Sun was down", () => {
    expect(verdictWords(black("sun-up", -4.4))).toBe(
      "black: it was not dark yet, the Sun only 4° below the horizon at mid-exposure",
    );
    expect(verdictWords(black("sun-up", 0.4))).toContain("0.4° above the horizon");
  });
});

describe("other news of a request", () => {
  test("taken: the telescope moves, how high, when it is done", async () => {
    const scene = new Scene();
    const number = await scene.ask(await scene.join("mira"));
    const text = readNotice((await scene.take(number, 3))[0]!);
    expect(text).toContain("#1 Hercules Cluster (M13): the telescope is moving");
    expect(text).toContain("3 frames of 20 s, filter V; done about 20:03.");
    expect(text).toContain("62°, airmass 1.14");
  });

  test("failed: the reason, then what to do", async () => {
    const scene = new Scene();
    const number = await scene.ask(await scene.join("mira"));
    await scene.take(number);
    const failed = readNotice(
      (await scene.happen({ type: "request.failed", number, reason: "guiding lost" }))[0]!,
    );
    expect(failed).toMatch(/: failed\nReason: guiding lost\.\nAsk again/);
    const back = readNotice(
      (await scene.happen({ type: "request.returned", number, reason: "try again", by: null }))[0]!,
    );
    expect(back).toMatch(/back in the queue\nReason: try again\.\nIt keeps its number/);
  });

  test("next: when, and after which request", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    const [first, second] = [await scene.ask(mira), await scene.ask(mira)];
    const startUnixMs = scene.clock.now() + 5 * MINUTE;
    const alone = readNotice((await scene.happen({ type: "request.next", number: first, startUnixMs }))[0]!);
    expect(alone).toContain("You are next: it starts about 20:05.");
    await scene.take(first);
    const waiting = readNotice(
      (await scene.happen({ type: "request.next", number: second, startUnixMs }))[0]!,
    );
    expect(waiting).toContain("it starts about 20:05, once #1 is done.");
  });

  const from = EIGHT_PM + 10 * MINUTE;
  test.each([
    [
      "later",
      from,
      from + 14 * MINUTE,
      "two staff requests came in",
      "starts later",
      "Now about 20:24, 14 min later than you were told: two staff requests came in.",
    ],
    [
      "earlier",
      from + HOUR,
      from,
      "fewer requests came in than expected",
      "starts earlier",
      "Now about 20:10, 1 h earlier than you were told: fewer requests came in than expected.",
    ],
    [
      "away",
      from,
      null,
      "three more requests came in",
      "not tonight",
      "No time is left tonight: three more requests came in. It stays in the queue.",
    ],
    ["in", null, from, "the hold is over", "has a time tonight", "Now about 20:10: the hold is over."],
  ])(
    "moved %s: the new time, the shift, the cause",
    async (_, fromUnixMs, startUnixMs, because, title, line) => {
      const text = await told((_mira, number) => ({
        type: "estimates.moved",
        moves: [{ number, fromUnixMs, startUnixMs, because }],
      }));
      expect(text).toBe(`#1 Hercules Cluster (M13): ${title}\n${line}`);
    },
  );

  test("several moves with one cause say it once", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    const numbers = [await scene.ask(mira), await scene.ask(mira)];
    const moves = numbers.map((number) => ({
      number,
      fromUnixMs: from,
      startUnixMs: from + HOUR,
      because: "the hold lasted 1 h",
    }));
    const text = readNotice((await scene.happen({ type: "estimates.moved", moves }))[0]!);
    expect(text.match(/the hold lasted/g)).toHaveLength(1);
    expect(text).toContain("2 estimates moved");
    expect(text).toContain("#2 Hercules Cluster (M13): now about 21:10, 1 h later");
  });

  test("cancelled and restored: one, and several", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    const numbers = [await scene.ask(mira), await scene.ask(mira)];
    const cancel = (cancelId: string, which: number[]): NightslateEvent => ({
      type: "requests.cancelled",
      cancelId,
      numbers: which,
      reason: "Cloud!",
      by: mira,
    });
    const both = readNotice((await scene.happen(cancel("a", numbers)))[0]!);
    expect(both).toMatch(
      /^2 requests cancelled\nCancelled: #1 and #2\.\nReason: Cloud! Decided by <hall:mira>\./,
    );
    expect(both).toContain("Ask again with /request");
    const back = readNotice(
      (await scene.happen({ type: "cancel.undone", cancelId: "a", numbers, by: mira }))[0]!,
    );
    expect(back).toContain("#1 and #2 are waiting again, with the same numbers and times of asking.");
    const one = readNotice((await scene.happen(cancel("b", [1])))[0]!);
    expect(one).toMatch(/^#1 Hercules Cluster \(M13\): cancelled\nReason/);
    const oneBack = readNotice(
      (await scene.happen({ type: "cancel.undone", cancelId: "b", numbers: [1], by: mira }))[0]!,
    );
    expect(oneBack).toContain("#1 is waiting again, with the same number and time of asking.");
  });

  test("withdrawn under those who had joined, and inherited", async () => {
    const scene = new Scene();
    const [mira, tomas] = [await scene.join("mira"), await scene.join("tomas")];
    const number = await scene.ask(mira);
    await scene.happen({ type: "request.joined", number, personId: tomas });
    const left = readNotice((await scene.happen({ type: "request.left", number, personId: mira }))[0]!);
    expect(left).toContain("goes on in your name");
    await scene.happen({ type: "request.joined", number, personId: mira });
    const gone = readNotice((await scene.happen({ type: "request.withdrawn", number }))[0]!);
    expect(gone).toMatch(/withdrawn\nIts owner withdrew it\. If you still want it, ask/);
  });
});

describe("what a class is told", () => {
  const hold = { reason: "cloud", by: "hall:mira", sinceUnixMs: EIGHT_PM, untilUnixMs: EIGHT_PM + HOUR };

  test("a hold: why, how long, and that it is no interlock", async () => {
    const text = await told(() => ({ type: "hold.placed", hold }));
    expect(text).toContain("Reason: cloud. It was placed by <hall:mira> and lasts until 21:00.");
    expect(text).toMatch(/no interlock.*lock-out procedure.*trained staff/);
    const open = await told(() => ({
      type: "hold.placed",
      hold: { ...hold, reason: " ", untilUnixMs: null },
    }));
    expect(open).toContain("No reason was given. It was placed by <hall:mira> and lasts until staff resume");
  });

  test("a hold while a request is under way says that it is finished", async () => {
    const scene = new Scene();
    await scene.take(await scene.ask(await scene.join("mira")));
    const text = readNotice((await scene.happen({ type: "hold.placed", hold }))[0]!);
    expect(text).toContain("#1 is under way and will be finished first");
  });

  test("its end within a minute, without a length", async () => {
    const scene = new Scene();
    await scene.join("mira");
    await scene.happen({ type: "hold.placed", hold: { ...hold, sinceUnixMs: scene.clock.now() } });
    await scene.clock.moveTo(scene.clock.now() + MINUTE / 2);
    expect((await scene.happen({ type: "hold.lifted", by: null }))[0]?.title).toBe("The hold is over");
  });

  test("its end: how long it lasted, and by whom", async () => {
    const scene = new Scene();
    await scene.join("mira");
    await scene.happen({ type: "hold.placed", hold });
    await scene.clock.moveTo(EIGHT_PM + 12 * MINUTE);
    const text = readNotice((await scene.happen({ type: "hold.lifted", by: null }))[0]!);
    expect(text).toMatch(/^The hold is over after 12 min\nIts time was up; requests are taken again/);
    await scene.happen({ type: "hold.placed", hold });
    const lifted = readNotice((await scene.happen({ type: "hold.lifted", by: "hall:mira" }))[0]!);
    expect(lifted).toContain("It was lifted by <hall:mira>; requests are taken again.");
  });

  test("an announcement is passed on as text, never as markup", async () => {
    const text = await told((by) => ({
      type: "announcement.made",
      classId: EVENING,
      text: "**Dress** @everyone",
      by,
    }));
    expect(text).toBe("Announcement\n**Dress** @everyone\nFrom <hall:mira>.");
  });

  test("a session: its end when it opens, what still waits when it closes", async () => {
    const opened = await told((by) => ({
      type: "session.opened",
      classId: EVENING,
      by,
      untilUnixMs: EIGHT_PM + HOUR,
    }));
    expect(opened).toMatch(/the session is open\nAsk with \/request.* It ends at 21:00\./);
    const closed = await told(() => ({ type: "session.closed", classId: EVENING, by: null }));
    expect(closed).toContain("1 request of the class waits on");
    const scene = new Scene();
    await scene.join("mira");
    const idle = readNotice((await scene.happen({ type: "session.closed", classId: EVENING, by: null }))[0]!);
    expect(idle).toContain("No requests are waiting.");
  });

  test("equipment: what failed or went, and what that means for frames", async () => {
    const change = (equipment: object) =>
      told(() => ({
        type: "equipment.changed",
        equipment: { telescope: "ready", dome: "open", camera: "fitted", sky: "clear", ...equipment },
        by: null,
      }));
    expect(await change({ camera: "away" })).toMatch(
      /^Camera away\nNo camera is fitted, so frames are simulated and marked/,
    );
    expect(await change({ camera: "fault" })).toContain("nothing new is taken until it is mended");
    expect(await change({ dome: "kept-shut" })).toMatch(
      /^Dome kept shut\nThe dome is kept shut: nothing new/,
    );
    expect(await change({ dome: "fault", telescope: "fault" })).toMatch(/^Telescope fault; Dome fault\n/);
    const scene = new Scene();
    await scene.join("mira");
    const now = scene.desk.state.equipment;
    await scene.happen({
      type: "equipment.changed",
      equipment: { ...now, camera: "away", dome: "fault", telescope: "fault" },
      by: null,
    });
    const [back] = await scene.happen({ type: "equipment.changed", equipment: now, by: null });
    expect(back?.title).toBe("Telescope ready; Dome mended; Camera back");
  });

  test("dusk: how long it is dark, what waits, who is first", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    const number = await scene.ask(mira);
    const dusk = { type: "dusk.noted", date: "2026-11-25" } as const;
    const before = readNotice((await scene.happen(dusk))[0]!);
    expect(before).toMatch(/It is dark from 18:18 to 06:40\.\n1 request of the class is waiting\.$/);
    await scene.happen({ type: "estimates.told", estimates: [{ number, startUnixMs: EIGHT_PM }] });
    const after = readNotice((await scene.happen(dusk))[0]!);
    expect(after).toContain("the first, #1 Hercules Cluster (M13), starts about 20:00.");
  });
});

describe("amounts", () => {
  test("none, one and many", () => {
    expect([0, 1, 2].map((number) => count(number, "frame"))).toEqual(["no frames", "1 frame", "2 frames"]);
  });

  test("lists of requests, and long ones cut short with a count", () => {
    expect(numberList([])).toBe("");
    expect(numberList([4])).toBe("#4");
    expect(numberList([8, 3])).toBe("#3 and #8");
    expect(numberList([3, 4, 5, 8, 11, 12])).toBe("#3–#5, #8, #11 and #12");
    expect(numberList([1, 3, 5, 7], 2)).toBe("#1, #3 and 2 more");
  });

  test("lengths of time and angles", () => {
    expect([0, MINUTE, 14 * MINUTE, HOUR, 80 * MINUTE].map(duration)).toEqual([
      "less than a minute",
      "1 min",
      "14 min",
      "1 h",
      "1 h 20 min",
    ]);
    expect([0.42, 12.4, -61.7].map(degrees)).toEqual(["0.4°", "12°", "62°"]);
  });
});
