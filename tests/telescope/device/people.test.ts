/** People first: when machines may move, and who has to say so. */
import { expect, test } from "vitest";
import { HOUR, MINUTE, SECOND } from "../../../src/base/units.js";
import type { NightslateEvent } from "../../../src/journal/events.js";
import { Evening } from "../evening.js";
import { opensDevice, serverOf } from "./device-evening.js";
import type { ScriptedServer } from "./scripted-server.js";

const MOVES = /PARK|SHUTTER|COORD R|ABS_DOME|SLOT |EXPOSURE C|CONNECTION|TIME_UTC/;
const moves = (server: ScriptedServer): string[] => server.orders.filter((order) => MOVES.test(order));
const peopleHold = (evening: Evening): NightslateEvent => ({
  type: "hold.placed",
  hold: {
    ...{ reason: "people in the dome", by: "terminal:okoro", untilUnixMs: null, people: true },
    sinceUnixMs: evening.clock.now(),
  },
});
const lifted: NightslateEvent = { type: "hold.lifted", by: "terminal:okoro" };

async function unconfirmed(): Promise<{ evening: Evening; server: ScriptedServer }> {
  const evening = new Evening(opensDevice());
  await evening.driver.start();
  await evening.settle();
  return { evening, server: serverOf(evening.clock) };
}

test("after a start nothing moves, and a hold says what is needed, until an operator confirms that nobody is there", async () => {
  const { evening, server } = await unconfirmed();
  await evening.ask(1);
  await evening.go(30 * MINUTE);
  expect(server.orders).toEqual([]);
  expect(evening.desk.state.hold).toMatchObject({
    by: "telescope",
    reason: "before anything moves, an operator has to confirm that nobody is in the dome",
  });
  await evening.resume();
  await evening.go(5 * MINUTE);
  expect(await evening.said()).toContain("request.completed 1");
  await evening.driver.stop();
});

test("a hold that is lifted without a word about people is placed again", async () => {
  const { evening, server } = await unconfirmed();
  await evening.happen(lifted);
  await evening.go(20 * SECOND);
  expect(evening.desk.state.hold?.by).toBe("telescope");
  expect(server.orders).toEqual([]);
  await evening.driver.stop();
});

test("what was confirmed does not outlast the night, nor a restart", async () => {
  const evening = await Evening.begin(opensDevice());
  const server = serverOf(evening.clock);
  await evening.go(20 * HOUR);
  const { length } = server.orders;
  await evening.ask(3);
  await evening.go(9 * HOUR);
  expect(evening.desk.state.hold?.by).toBe("telescope");
  expect(server.orders).toHaveLength(length);
  await evening.driver.stop();
});

test("a hold for people stops mount, dome and exposure at once, and nothing moves while it stands: no park, no shutting, whatever the weather", async () => {
  const evening = await Evening.begin(opensDevice());
  const server = serverOf(evening.clock);
  await evening.reach("exposing");
  await evening.happen(peopleHold(evening));
  await evening.go(SECOND);
  expect(server.orders.slice(-3)).toEqual([
    "Camera CCD_ABORT_EXPOSURE ABORT=On",
    "Mount TELESCOPE_ABORT_MOTION ABORT=On",
    "Dome DOME_ABORT_MOTION ABORT=On",
  ]);
  const before = moves(server).length;
  server.set("Weather", "WEATHER_STATUS", { WEATHER_RAIN_HOUR: "Alert" }, "Alert");
  await evening.go(10 * HOUR);
  expect(moves(server)).toHaveLength(before);
  expect(evening.desk.state.hold).toMatchObject({
    people: true,
    reason: expect.stringMatching(
      /^people in the dome; .*not done meanwhile: park and shut, because the weather/,
    ),
  });
  await evening.driver.stop();
});

test("after a hold for people an operator confirms anew; one that ends by itself is not enough", async () => {
  const evening = await Evening.begin(opensDevice());
  const server = serverOf(evening.clock);
  await evening.reach("exposing");
  await evening.happen(peopleHold(evening));
  await evening.go(MINUTE);
  const before = moves(server).length;
  await evening.happen({ type: "hold.lifted", by: null });
  await evening.go(5 * MINUTE);
  expect(moves(server)).toHaveLength(before);
  expect(evening.desk.state.hold?.by).toBe("telescope");
  await evening.resume();
  await evening.go(20 * MINUTE);
  expect(await evening.said()).toContain("request.completed 2");
  await evening.driver.stop();
});
