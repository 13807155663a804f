/** The practice telescope keeps its instants, and lets go of what staff cancel. */
import { expect, test } from "vitest";
import { silentLog } from "../../../src/base/log.js";
import { MINUTE, SECOND } from "../../../src/base/units.js";
import { loadConfig } from "../../../src/config/load.js";
import { openForecast } from "../../../src/estimates/open-forecast.js";
import type { Equipment, NightslateEvent } from "../../../src/journal/events.js";
import { openMemoryDesk } from "../../../src/journal/open-desk.js";
import { CONFIGURED_OVERHEADS } from "../../../src/observatory/observatory.js";
import { nightNamed } from "../../../src/sky/night.js";
import type { FixedTarget } from "../../../src/sky/target.js";
import { TelescopeDriver } from "../../../src/telescope/driver.js";
import { PracticeLink } from "../../../src/telescope/practice/link.js";
import { practiceStart } from "../../../src/telescope/practice/practice-night.js";
import { ManualClock } from "../../../src/tools/manual-clock.js";
import { asked, Evening, plainFrame } from "../evening.js";

const example = loadConfig("config/tern-hollow.yaml");
const noon = nightNamed("2026-11-25", example.observatory.site.timeZone).startUnixMs;
const dusk = practiceStart(noon, 0, example.observatory);
const andromeda: FixedTarget = {
  kind: "fixed",
  id: "M31",
  name: "Andromeda Galaxy (M31)",
  type: "galaxy",
  raDegrees: 10.685,
  decDegrees: 41.269,
  magnitude: 3.4,
  sizeArcminutes: 180,
};

/** A telescope whose frames are there at once and hold nothing. */
function practiceLink(): PracticeLink {
  return new PracticeLink({
    learned: () => CONFIGURED_OVERHEADS,
    pauseClock: () => () => {},
    makeFrame: async ({ request, index, startUnixMs }) => ({
      index,
      startUnixMs,
      exposureSeconds: request.exposureSeconds,
      filter: request.filter,
      imageFile: null,
      previewFile: null,
      verdict: null,
      simulated: true,
    }),
  });
}

async function evening(requests: number, cloudFraction = 0) {
  const { telescope } = example;
  const practice = { ...telescope.practice, cloudFraction };
  const config = { ...example, telescope: { ...telescope, practice } };
  const clock = new ManualClock(dusk);
  const desk = openMemoryDesk({ clock, derive: () => [] });
  const forecast = openForecast({ desk, config, clock });
  const driver = new TelescopeDriver({ desk, clock, config, forecast, log: silentLog, link: practiceLink() });
  /** Journals events and lets what follows from them begin. */
  const happen = async (...events: NightslateEvent[]) => {
    await desk.act(() => events, { by: "test" });
    await clock.moveTo(clock.now());
  };
  for (let number = 1; number <= requests; number++) await happen(asked(number, { target: andromeda }));
  const types = async (): Promise<string[]> => {
    const seen: string[] = [];
    for await (const { events } of desk.entries())
      for (const event of events) if ("number" in event) seen.push(`${event.type} ${event.number}`);
    return seen.filter((each) => !each.startsWith("request.made"));
  };
  await driver.start();
  await clock.moveTo(clock.now());
  return { clock, desk, forecast, driver, happen, types };
}

test("takes the next at the very instant the one before is free", async () => {
  const { clock, desk, driver } = await evening(2);
  const first = desk.state.taken;
  await clock.moveTo((first?.freeUnixMs ?? 0) + MINUTE);
  expect(desk.state.requests.get(1)?.state).toBe("completed");
  expect(desk.state.taken).toMatchObject({ number: 2, takenUnixMs: first?.freeUnixMs });
  await driver.stop();
});

test("shows what it waits for, then which frame it exposes", async () => {
  const { clock, desk, driver } = await evening(1);
  expect(driver.status()).toMatchObject({
    activity: "moving",
    requestNumber: 1,
    waitingFor: "shutter",
    traits: { simulated: true },
  });
  const free = desk.state.taken?.freeUnixMs ?? 0;
  const secondExposure = free - example.observatory.handOverSeconds * SECOND - 20 * SECOND;
  await clock.moveTo(secondExposure);
  expect(driver.status()).toMatchObject({ activity: "exposing", frame: 2, frames: 2, exposureSeconds: 30 });
  await clock.moveTo(free + SECOND);
  expect(driver.status().activity).toBe("idle");
  await driver.stop();
});

test("drops a request that staff cancel in the middle, and goes on with the next", async () => {
  const { clock, desk, driver, happen, types } = await evening(2);
  await clock.moveTo(dusk + 100 * SECOND);
  await happen({
    type: "requests.cancelled",
    cancelId: "c1",
    numbers: [1],
    reason: "cloud",
    by: "terminal:quill",
  });
  await clock.moveTo(dusk + 10 * MINUTE);
  const seen = await types();
  expect(seen).not.toContain("request.completed 1");
  expect(seen.at(-1)).toBe("request.completed 2");
  expect(desk.state.requests.get(1)?.state).toBe("cancelled");
  await driver.stop();
});

test.each([
  ["camera", "the camera reported a fault"],
  ["telescope", "the telescope reported a fault"],
] as const)("a %s at fault fails the request with that reason", async (part, reason) => {
  const { clock, desk, driver, happen } = await evening(1);
  const equipment: Equipment = {
    telescope: "ready",
    dome: "open",
    camera: "fitted",
    sky: "clear",
    [part]: "fault",
  };
  await happen({ type: "equipment.changed", equipment, by: "terminal:okoro" });
  await clock.moveTo(dusk + 10 * MINUTE);
  expect(desk.state.requests.get(1)).toMatchObject({ state: "failed", reason });
  await driver.stop();
});

test("takes up after a restart what was under way, without taking it twice", async () => {
  const { clock, desk, driver, forecast, types } = await evening(1);
  await clock.moveTo(dusk + 140 * SECOND);
  await driver.stop();
  const again = new TelescopeDriver({
    ...{ desk, clock, config: example, forecast, log: silentLog, link: practiceLink() },
  });
  await again.start();
  await clock.moveTo(dusk + 20 * MINUTE);
  const seen = await types();
  expect(seen.filter((each) => each === "request.taken 1")).toHaveLength(1);
  expect(seen.filter((each) => each === "frame.done 1")).toHaveLength(2);
  expect(seen.at(-1)).toBe("request.completed 1");
  await again.stop();
});

test("stops its clock for a frame that takes longer to simulate than to expose, until it is there", async () => {
  const pauses: string[] = [];
  let arrives: () => void = () => {};
  const promise = new Promise<void>((done) => {
    arrives = done;
  });
  const link = new PracticeLink({
    pauseClock: () => {
      pauses.push("stands");
      return () => pauses.push("goes on");
    },
    makeFrame: async (order) => {
      if (order.index === 2) await promise;
      return plainFrame(order);
    },
  });
  const playing = await Evening.begin(() => link);
  await playing.reach("handing-over");
  expect(pauses).toEqual(["stands"]);
  arrives();
  await playing.settle();
  expect(pauses).toEqual(["stands", "goes on"]);
  await playing.driver.stop();
});

test("reports passing cloud when it comes and when it goes", async () => {
  const { clock, desk, driver } = await evening(0, 0.5);
  const seen = new Set<string>();
  for (let spell = 0; spell < 12; spell++) {
    await clock.moveTo(clock.now() + 12 * MINUTE);
    seen.add(desk.state.equipment.sky);
  }
  expect(seen).toEqual(new Set(["clear", "cloud"]));
  await driver.stop();
});
