/** What whoever works the telescope by hand is told: what to stop, once, and what was forgotten. */
import { expect, test } from "vitest";
import type { Config } from "../../src/config/config.js";
import type { NightslateEvent } from "../../src/journal/events.js";
import type { Notice } from "../../src/journal/notice.js";
import { EIGHT_PM, EVENING, readNotice, Scene, twoClasses } from "./scene.js";

const linked = (link: Config["telescope"]["link"]): Config => {
  const config = twoClasses();
  return { ...config, telescope: { ...config.telescope, link } };
};
const operatorsOf = (notices: readonly Notice[]) => notices.filter(({ kind }) => kind === "operator");
async function underWay(link: Config["telescope"]["link"] = "by-hand") {
  const scene = new Scene(EIGHT_PM, linked(link));
  const mira = await scene.join("mira");
  const okoro = await scene.join("okoro", EVENING, "operator");
  const quill = await scene.join("quill", EVENING, "instructor");
  const number = await scene.ask(mira);
  await scene.take(number);
  return { scene, number, okoro, quill, mira };
}

test.each([
  [
    "cancelled",
    (number: number): NightslateEvent => ({
      type: "requests.cancelled",
      cancelId: "c",
      numbers: [number],
      reason: "wind",
      by: "x",
    }),
    "Reason: wind.",
  ],
  [
    "withdrawn",
    (number: number): NightslateEvent => ({ type: "request.withdrawn", number }),
    "Its owner took it back.",
  ],
])("one that is %s under way is a line to the operator, at once and with sound", async (_, event, why) => {
  const { scene, number, okoro } = await underWay();
  const [notice, ...others] = operatorsOf(await scene.happen(event(number)));
  expect(others).toEqual([]);
  expect(notice).toMatchObject({ title: "Stop #1 now", people: [okoro], quiet: false });
  expect(readNotice(notice!)).toContain(why);
  expect(readNotice(notice!)).toContain("Stop its exposure and its motion.");
});

test("for people nothing is to move at all", async () => {
  const { scene, number, quill } = await underWay();
  const reason = "people in the dome";
  const hold = { reason, by: quill, sinceUnixMs: EIGHT_PM, untilUnixMs: null, people: true } as const;
  const notices = await scene.happen(
    { type: "request.returned", number, reason, by: quill },
    { type: "hold.placed", hold },
  );
  const [notice, ...others] = operatorsOf(notices);
  expect(others).toEqual([]);
  expect(readNotice(notice!)).toContain("move nothing until the hold is lifted: no slew, no park, no dome");
  const owner = notices.find(({ kind }) => kind === "returned");
  expect(owner?.title).toBe("#1 Hercules Cluster (M13): stopped, and back in the queue");
});

test("a link that stops by itself needs no line", async () => {
  const { scene, number } = await underWay("device");
  expect(operatorsOf(await scene.happen({ type: "request.withdrawn", number }))).toEqual([]);
});

test("one that has been forgotten has its buttons, and a full disk its figures", async () => {
  const { scene, number } = await underWay();
  const [overdue] = operatorsOf(await scene.happen({ type: "action.overdue", number }));
  expect(overdue?.title).toBe("#1 Hercules Cluster (M13): still under way?");
  expect(overdue?.actions.map(({ label }) => label)).toEqual(["Done", "Failed", "Stopped"]);
  const [short] = operatorsOf(await scene.happen({ type: "disk.short", neededBytes: 78e6, freeBytes: 12e6 }));
  expect(readNotice(short!)).toContain("12 MB are free and 78 MB are needed");
});

test("frames that fit nothing are named, and those beyond the list counted", async () => {
  const { scene, okoro } = await underWay();
  const [one] = operatorsOf(
    await scene.happen({
      type: "frames.unplaced",
      files: [{ name: "a.fits", why: "it fits none" }],
      total: 1,
    }),
  );
  expect(one).toMatchObject({ title: "A frame was not placed", people: [okoro] });
  expect(readNotice(one!)).toContain("a.fits: it fits none.");
  expect(readNotice(one!)).not.toContain("The log names");
  const files = [
    { name: "a.fits", why: "it fits none" },
    { name: "b.fits", why: "its header cannot be read" },
  ];
  const [more] = operatorsOf(await scene.happen({ type: "frames.unplaced", files, total: 9 }));
  expect(more?.title).toBe("9 frames were not placed");
  expect(readNotice(more!)).toContain("b.fits: its header cannot be read.");
  expect(readNotice(more!)).toContain("The log names the other 7.");
});
