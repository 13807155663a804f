/** What the driver adds to any link: revised times, an orderly stop, equipment told until it is stored. */
import { beforeEach, expect, test } from "vitest";
import { HOUR, MINUTE, SECOND } from "../../src/base/units.js";
import { Evening } from "./evening.js";
import { ScriptedLink } from "./scripted-link.js";

let link: ScriptedLink;
let evening: Evening;
beforeEach(async () => {
  evening = await Evening.begin((makeFrame) => {
    link = new ScriptedLink(makeFrame);
    return link;
  });
});

const revisions = async (): Promise<number[]> => {
  const seen: number[] = [];
  for await (const { events } of evening.desk.entries())
    for (const event of events) if (event.type === "action.revised") seen.push(event.freeUnixMs);
  return seen;
};
const cancel = { type: "requests.cancelled", cancelId: "c", numbers: [1], reason: "cloud" } as const;

test("says anew when it will be free as soon as exposures begin late, and keeps to it", async () => {
  const promised = evening.desk.state.taken?.freeUnixMs as number;
  await evening.reach("exposing");
  expect(evening.desk.state.taken?.freeUnixMs).toBe(promised + link.lateMs);
  await evening.toTheEnd();
  expect(await revisions()).toHaveLength(2);
});

test("an action that goes on and on is expected to need as long again, told ever more seldom", async () => {
  await link.close();
  const promised = evening.desk.state.taken?.freeUnixMs as number;
  await evening.clock.moveTo(promised + HOUR);
  const overdue = (await revisions()).map((freeUnixMs) => (freeUnixMs - promised) / SECOND);
  expect(overdue).toEqual([10, 20, 40, 80, 160, 320, 640, 1280, 2560, 5120]);
  expect(evening.desk.state.taken?.freeUnixMs).toBeGreaterThan(evening.clock.now());
});

test("gives the reason for stopping, and begins nothing before the telescope stands", async () => {
  await evening.reach("exposing");
  await evening.happen({ ...cancel, by: "terminal:quill" });
  expect(link.stops).toEqual(["cloud"]);
  await evening.go(link.stopMs - SECOND);
  expect(evening.desk.state.taken).toBeNull();
  expect(evening.driver.status()).toMatchObject({ activity: "stopping", requestNumber: 1 });
  await evening.go(SECOND);
  expect(evening.desk.state.taken?.number).toBe(2);
});

test("a stop that the end of the program cut short is done at the next start, before anything is taken", async () => {
  await evening.reach("exposing");
  await evening.happen({ ...cancel, by: "terminal:quill" });
  const restarted = evening.restart();
  await evening.settle();
  expect(link.stops).toEqual(["cloud"]);
  expect(evening.desk.state).toMatchObject({ taken: null, stopping: { number: 1, reason: "cloud" } });
  await evening.go(link.stopMs);
  await restarted;
  expect(evening.desk.state).toMatchObject({ taken: { number: 2 }, stopping: null });
  await evening.restart();
  expect(link.stops).toEqual([]);
});

test("its owner may withdraw it while it is under way, and it is stopped", async () => {
  await evening.reach("exposing");
  await evening.happen({ type: "request.withdrawn", number: 1 });
  expect(link.stops).toEqual([null]);
  await evening.go(link.stopMs);
  expect(evening.desk.state).toMatchObject({ taken: { number: 2 }, stopping: null });
});

test("a telescope that does not stop is at fault: nothing is taken until it is mended", async () => {
  link.jam = "the mount does not answer";
  await evening.happen({ ...cancel, by: "terminal:quill" });
  await evening.go(20 * MINUTE);
  expect(evening.desk.state).toMatchObject({ taken: null, equipment: { telescope: "fault" } });
  await link.host.report({ telescope: "ready" });
  await evening.go(SECOND);
  expect(evening.desk.state.taken?.number).toBe(2);
});

test("a failure that the link reports is the request's, and needs no stop", async () => {
  link.progress.failed("the mount does not answer", evening.clock.now());
  await evening.settle();
  expect(evening.desk.state.requests.get(1)).toMatchObject({
    state: "failed",
    reason: "the mount does not answer",
  });
  expect(link.stops).toEqual([]);
  expect(evening.desk.state.taken?.number).toBe(2);
});

test("what a link cannot begin fails, and the next one has its turn", async () => {
  const begin = link.begin.bind(link);
  link.begin = (action, progress) => {
    if (action.request.number === 2) throw new Error("no such filter");
    return begin(action, progress);
  };
  await evening.toTheEnd();
  expect([1, 2].map((number) => evening.desk.state.requests.get(number)?.state)).toEqual([
    "completed",
    "failed",
  ]);
});

test("equipment that changes while the disk is full is told when there is room, the latest of each part", async () => {
  evening.disk.full = true;
  await link.host.report({ sky: "cloud" });
  await link.host.report({ sky: "clear", dome: "shut" });
  expect(evening.desk.state.equipment).toMatchObject({ sky: "unknown", dome: "open" });
  evening.disk.full = false;
  await evening.go(20 * SECOND);
  expect(evening.desk.state.equipment).toEqual({
    telescope: "ready",
    dome: "shut",
    camera: "fitted",
    sky: "clear",
  });
});

test("after a restart the link hears that it resumes, and how many frames are there", async () => {
  await evening.reach("reading-out");
  await evening.go(10 * SECOND);
  await evening.restart();
  expect(link.begun).toMatchObject([{ resumed: true, framesDone: 1, request: { number: 1 } }]);
});
