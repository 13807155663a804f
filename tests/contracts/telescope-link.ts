/** What every telescope link promises, whatever moves behind it. */
import { describe, expect, test } from "vitest";
import { MINUTE, SECOND } from "../../src/base/units.js";
import type { Equipment, FrameRecord } from "../../src/journal/events.js";
import type { TelescopeStatus } from "../../src/journal/telescope-status.js";
import type { FrameOrder } from "../../src/telescope/frames/frame-order.js";
import { Evening, type MakeFrame, type Opens, plainFrame } from "../telescope/evening.js";

type Phases = readonly TelescopeStatus["activity"][];

const PHASES: Phases = ["moving", "exposing", "reading-out", "handing-over"];
/** Of one whose steps nobody tells. */
export const UNTOLD: Phases = ["observing"];
const ONE_DONE = ["request.taken 1", "frame.done 1", "frame.done 1", "request.completed 1"];
const TWO_DONE = ["request.taken 2", "frame.done 2", "frame.done 2", "request.completed 2"];

/** @param phases what may be known of an action while it goes on */
export function telescopeLinkContract(name: string, opens: Opens, phases = PHASES): void {
  describe(`a telescope link: ${name}`, () => {
    test("takes, exposes, hands over and is free, one request after the other", async () => {
      const evening = await Evening.begin(opens);
      const seen: string[] = [];
      for (const phase of phases) {
        await evening.reach(phase);
        const { activity, requestNumber, frames } = evening.driver.status();
        seen.push(`${activity} ${requestNumber} of ${frames}`);
      }
      expect(seen).toEqual(phases.map((phase) => `${phase} 1 of 2`));
      expect(await evening.toTheEnd()).toEqual([...ONE_DONE, ...TWO_DONE]);
      expect(evening.driver.status().activity).toBe("idle");
    });

    test("says where it stands before it is started: the banner asks that early", () => {
      expect(() => opens(plainFrame).stance?.()).not.toThrow();
    });

    test("is asked to begin only what is in the journal already", async () => {
      const known: boolean[] = [];
      const evening = await Evening.begin((makeFrame) => {
        const link = opens(makeFrame);
        const [start, begin] = [link.start.bind(link), link.begin.bind(link)];
        let taken: () => number | undefined = () => undefined;
        link.start = (host) => {
          taken = () => host.state().taken?.number;
          return start(host);
        };
        link.begin = (action, progress) => {
          known.push(taken() === action.request.number);
          return begin(action, progress);
        };
        return link;
      });
      await evening.toTheEnd();
      expect(known).toEqual([true, true]);
    });

    test.each(phases)(
      "started again while %s, goes on without taking it twice or losing a frame",
      async (phase) => {
        const evening = await Evening.begin(opens);
        await evening.reach(phase);
        await evening.restart();
        expect(await evening.toTheEnd()).toEqual([...ONE_DONE, ...TWO_DONE]);
      },
    );

    test.each(phases)(
      "what staff said of camera and sky while %s stands after a restart, and the frames that follow are judged by it",
      async (phase) => {
        const orders: FrameOrder[] = [];
        const evening = await Evening.begin(opens, (order) => {
          orders.push(order);
          return plainFrame(order);
        });
        await evening.reach(phase);
        const said = { camera: "away", sky: "cloud" } as const;
        const equipment: Equipment = { ...evening.desk.state.equipment, ...said };
        await evening.happen({ type: "equipment.changed", equipment, by: "terminal:okoro", part: "camera" });
        const saidUnixMs = evening.clock.now();
        await evening.restart();
        expect(evening.desk.state.equipment).toEqual(equipment);
        expect(await evening.toTheEnd()).toEqual([...ONE_DONE, ...TWO_DONE]);
        const judged = orders.filter(({ startUnixMs }) => startUnixMs > saidUnixMs);
        expect(judged.length).toBeGreaterThan(0);
        for (const { equipment } of judged) expect(equipment).toMatchObject(said);
      },
    );

    test.each(phases)(
      "a dome that staff keep shut while %s lets nothing more be taken, after a restart too, until they release it",
      async (phase) => {
        const evening = await Evening.begin(opens);
        await evening.reach(phase);
        const staffSay = (dome: Equipment["dome"]): Promise<void> =>
          evening.happen({
            ...{ type: "equipment.changed", by: "terminal:okoro", part: "dome" },
            equipment: { ...evening.desk.state.equipment, dome },
          });
        await staffSay("kept-shut");
        await evening.restart();
        await evening.go(30 * MINUTE);
        expect(await evening.said()).not.toContain("request.taken 2");
        expect(evening.desk.state.equipment.dome).toBe("kept-shut");
        await staffSay("open");
        expect((await evening.toTheEnd()).slice(-TWO_DONE.length)).toEqual(TWO_DONE);
      },
    );

    test.each(phases)("lets go of what is cancelled while %s, and goes on with the next", async (phase) => {
      const evening = await Evening.begin(opens);
      await evening.reach(phase);
      const before = await evening.said();
      const by = "terminal:quill";
      await evening.happen({ type: "requests.cancelled", cancelId: "c", numbers: [1], reason: "cloud", by });
      expect(await evening.toTheEnd()).toEqual([...before, ...TWO_DONE]);
      expect(evening.desk.state.requests.get(1)).toMatchObject({ state: "cancelled", reason: "cloud" });
    });

    test.each(phases)(
      "tells everything once, when a disk that was full while %s has room again",
      async (phase) => {
        const evening = await Evening.begin(opens);
        await evening.reach(phase);
        evening.disk.full = true;
        await evening.go(10 * MINUTE);
        evening.disk.full = false;
        expect(await evening.toTheEnd()).toEqual([...ONE_DONE, ...TWO_DONE]);
      },
    );

    test("journals a frame that comes late before the request's end, and takes nothing meanwhile", async () => {
      let arrives: () => void = () => {};
      const late: MakeFrame = (order) =>
        order.request.number === 1 && order.index === 2
          ? new Promise<FrameRecord>((done) => {
              arrives = () => void plainFrame(order).then(done);
            })
          : plainFrame(order);
      const evening = await Evening.begin(opens, late);
      await evening.go(20 * MINUTE);
      expect(await evening.said()).toEqual(ONE_DONE.slice(0, 2));
      arrives();
      expect(await evening.toTheEnd()).toEqual([...ONE_DONE, ...TWO_DONE]);
    });

    test("fails a request whose frame cannot be kept, says why, and goes on", async () => {
      const evening = await Evening.begin(opens, async (order) => {
        if (order.request.number === 1) throw new Error("ENOSPC: no space left on device, write");
        return plainFrame(order);
      });
      expect(await evening.toTheEnd()).toEqual(["request.taken 1", "request.failed 1", ...TWO_DONE]);
      expect(evening.desk.state.requests.get(1)?.reason).toMatch(/^the disk is full/);
    });

    test("fails a request while a part is at fault", async () => {
      const evening = await Evening.begin(opens);
      await evening.reach(phases[1] ?? "observing");
      const equipment: Equipment = { ...evening.desk.state.equipment, telescope: "fault" };
      await evening.happen({ type: "equipment.changed", equipment, by: "terminal:okoro" });
      expect(await evening.toTheEnd()).toEqual(["request.taken 1", "request.failed 1"]);
      expect(evening.desk.state.requests.get(1)?.reason).toBe("the telescope reported a fault");
      expect(evening.driver.status().activity).toBe("fault");
    });

    test("takes nothing while staff hold the queue, and goes on when they lift it", async () => {
      const evening = await Evening.begin(opens);
      const sinceUnixMs = evening.clock.now() + SECOND;
      const hold = { reason: "cloud", by: "terminal:quill", sinceUnixMs, untilUnixMs: null };
      await evening.happen({ type: "hold.placed", hold });
      await evening.go(30 * MINUTE);
      expect(await evening.said()).toEqual(ONE_DONE);
      await evening.happen({ type: "hold.lifted", by: "terminal:quill" });
      expect(await evening.toTheEnd()).toEqual([...ONE_DONE, ...TWO_DONE]);
    });
  });
}
