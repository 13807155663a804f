/** Bad weather, and reports that stop coming. */
import { expect, test } from "vitest";
import { HOUR, MINUTE, SECOND } from "../../../src/base/units.js";
import type { Equipment } from "../../../src/journal/events.js";
import { Evening } from "../evening.js";
import { opensDevice, serverOf } from "./device-evening.js";
import type { ScriptedServer } from "./scripted-server.js";

const rain = (server: ScriptedServer, state: string): void =>
  server.set("Weather", "WEATHER_STATUS", { WEATHER_RAIN_HOUR: state }, state);

test("bad weather: the request goes back with its place, everything is parked and shut, and goes on by itself", async () => {
  const evening = await Evening.begin(opensDevice());
  const server = serverOf(evening.clock);
  await evening.reach("exposing");
  rain(server, "Alert");
  await evening.go(MINUTE);
  expect(evening.desk.state.equipment.dome).toBe("kept-shut");
  expect(evening.desk.state.requests.get(1)).toMatchObject({
    state: "waiting",
    reason: "the weather station warns of rain hour",
  });
  expect(server.vector("Mount", "TELESCOPE_PARK").values.PARK).toBe("On");
  expect(server.vector("Dome", "DOME_SHUTTER")).toMatchObject({
    state: "Ok",
    values: { SHUTTER_CLOSE: "On" },
  });
  expect(evening.desk.state.hold).toBeNull();
  rain(server, "Ok");
  await evening.go(14 * MINUTE);
  expect(evening.desk.state.equipment.dome).toBe("kept-shut");
  await evening.go(15 * MINUTE);
  expect(await evening.said()).toContain("request.completed 2");
  await evening.driver.stop();
});

test("a station that has fallen silent counts as bad weather", async () => {
  const evening = await Evening.begin(opensDevice());
  const server = serverOf(evening.clock);
  await evening.go(15 * MINUTE);
  server.hung.add("Weather");
  await evening.go(5 * MINUTE);
  expect(evening.desk.state.equipment.dome).toBe("kept-shut");
  expect(server.vector("Dome", "DOME_SHUTTER").values.SHUTTER_CLOSE).toBe("On");
  await evening.driver.stop();
});

test("a dome that staff keep shut is not opened, and one that is open is shut", async () => {
  const evening = await Evening.begin(opensDevice());
  const server = serverOf(evening.clock);
  await evening.reach("exposing");
  const equipment = { ...evening.desk.state.equipment, dome: "kept-shut" } as const;
  await evening.happen({ type: "equipment.changed", equipment, by: "terminal:okoro" });
  await evening.go(MINUTE);
  expect(server.vector("Dome", "DOME_SHUTTER").values.SHUTTER_CLOSE).toBe("On");
  await evening.go(20 * MINUTE);
  expect(evening.desk.state).toMatchObject({ equipment: { dome: "kept-shut" }, taken: null });
  await evening.happen({
    type: "equipment.changed",
    equipment: { ...equipment, dome: "shut" },
    by: "terminal:okoro",
  });
  await evening.go(20 * MINUTE);
  expect(await evening.said()).toContain("request.completed 1");
  await evening.go(SECOND);
  await evening.driver.stop();
});

const staffSay = (evening: Evening, dome: Equipment["dome"]): Promise<void> =>
  evening.happen({
    ...{ type: "equipment.changed", by: "terminal:okoro", part: "dome" },
    equipment: { ...evening.desk.state.equipment, dome },
  });

test("a dome kept shut for the weather goes on by itself after a restart, once the weather has been good for long enough", async () => {
  const evening = await Evening.begin(opensDevice());
  const server = serverOf(evening.clock);
  await evening.reach("exposing");
  rain(server, "Alert");
  await evening.go(MINUTE);
  await evening.restart();
  await evening.go(5 * MINUTE);
  rain(server, "Ok");
  await evening.restart();
  await evening.go(14 * MINUTE);
  expect(evening.desk.state.equipment.dome).toBe("kept-shut");
  expect(await evening.toTheEnd()).toEqual(
    expect.arrayContaining(["request.completed 1", "request.completed 2"]),
  );
});

test.each(["before", "after"])(
  "a dome that staff keep shut %s bad weather stays so when that is over, after a restart too",
  async (when) => {
    const evening = await Evening.begin(opensDevice());
    const server = serverOf(evening.clock);
    if (when === "before") await staffSay(evening, "kept-shut");
    rain(server, "Alert");
    await evening.go(MINUTE);
    if (when === "after") await staffSay(evening, "kept-shut");
    rain(server, "Ok");
    await evening.go(20 * MINUTE);
    await evening.restart();
    await evening.go(20 * MINUTE);
    expect(evening.desk.state.equipment.dome).toBe("kept-shut");
    expect(server.vector("Dome", "DOME_SHUTTER").values.SHUTTER_CLOSE).toBe("On");
    await staffSay(evening, "open");
    expect(evening.desk.state.equipment.dome).toBe("shut");
    expect(await evening.toTheEnd()).toContain("request.completed 1");
  },
);

test("staff who call the dome open while the weather is bad are told at once that it is kept shut; nothing opens", async () => {
  const evening = await Evening.begin(opensDevice());
  const server = serverOf(evening.clock);
  rain(server, "Alert");
  await evening.go(MINUTE);
  const { length } = await evening.said();
  await staffSay(evening, "open");
  expect(evening.desk.state.equipment.dome).toBe("kept-shut");
  await evening.go(10 * MINUTE);
  expect(await evening.said()).toHaveLength(length);
  expect(server.vector("Dome", "DOME_SHUTTER").values.SHUTTER_CLOSE).toBe("On");
  await evening.driver.stop();
});

test("a dome that staff call at fault stays so until they say otherwise, wherever it stands", async () => {
  const evening = await Evening.begin(opensDevice());
  await evening.go(10 * MINUTE);
  await staffSay(evening, "fault");
  await evening.go(10 * HOUR);
  expect(evening.desk.state.equipment.dome).toBe("fault");
  await evening.driver.stop();
});
