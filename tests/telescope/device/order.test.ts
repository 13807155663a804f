/** The order in which machines are driven for a request, and what is never sent. */
import { expect, test } from "vitest";
import { MINUTE, SECOND } from "../../../src/base/units.js";
import { Evening, plainFrame } from "../evening.js";
import { opensDevice, serverOf } from "./device-evening.js";
import { deviceConfig, type ScriptedServer } from "./scripted-server.js";

const begin = async (): Promise<{ evening: Evening; server: ScriptedServer }> => {
  const evening = await Evening.begin(opensDevice());
  return { evening, server: serverOf(evening.clock) };
};
const index = (server: ScriptedServer, order: RegExp): number =>
  server.orders.findIndex((each) => order.test(each));

test("time and place, unparked, shutter open, then mount, slit and filter together, then the exposure", async () => {
  const { evening, server } = await begin();
  await evening.reach("exposing");
  const steps = [
    /^Mount TIME_UTC/,
    /^Mount GEOGRAPHIC_COORD/,
    /^Mount TELESCOPE_PARK UNPARK/,
    /^Dome DOME_PARK UNPARK/,
    /^Dome DOME_SHUTTER SHUTTER_OPEN/,
    /^Dome ABS_DOME_POSITION/,
    /^Mount EQUATORIAL_EOD_COORD/,
    /^Camera FITS_HEADER/,
    /^Camera CCD_EXPOSURE/,
  ].map((order) => index(server, order));
  expect(steps).toEqual([...steps].sort((a, b) => a - b));
  expect(steps).not.toContain(-1);
  await evening.driver.stop();
});

test("the camera is told what it is to take: a light frame, unbinned, the target's name and the class, the right filter", async () => {
  const { evening, server } = await begin();
  await evening.reach("exposing");
  expect(server.vector("Camera", "CCD_FRAME_TYPE").values.FRAME_LIGHT).toBe("On");
  expect(server.vector("Camera", "CCD_BINNING").values).toEqual({ HOR_BIN: "1", VER_BIN: "1" });
  expect(server.vector("Camera", "FITS_HEADER").values).toEqual({
    FITS_OBJECT: evening.desk.state.requests.get(1)?.target.name,
    FITS_OBSERVER: "Evening Survey, section 2",
  });
  expect(server.vector("Camera", "ACTIVE_DEVICES").values.ACTIVE_FILTER).toBe("Wheel");
  // V is in the third slot of the example.
  expect(server.vector("Wheel", "FILTER_SLOT").values.FILTER_SLOT_VALUE).toBe("3");
  expect(server.vector("Wheel", "FILTER_NAME").values).toMatchObject({ NAME_3: "V" });
  await evening.driver.stop();
});

test("each frame is judged with how far the dome's slit stood from where it had to", async () => {
  const offs: (number | null | undefined)[] = [];
  const evening = await Evening.begin(opensDevice(), (order) => {
    offs.push(order.slitOffDegrees);
    return plainFrame(order);
  });
  await evening.reach("exposing");
  const { values } = serverOf(evening.clock).vector("Dome", "ABS_DOME_POSITION");
  await evening.reach("reading-out");
  // Somebody else turns it away.
  const away = (Number(values.DOME_ABSOLUTE_POSITION) + 50) % 360;
  serverOf(evening.clock).set("Dome", "ABS_DOME_POSITION", { DOME_ABSOLUTE_POSITION: String(away) });
  while (offs.length === 0) await evening.go(SECOND);
  expect(offs[0]).toBeCloseTo(50, 0);
  await evening.driver.stop();
});

test("no slew is sent before the shutter is open and still", async () => {
  const { evening, server } = await begin();
  while (index(server, /SHUTTER_OPEN/) < 0) await evening.go(SECOND);
  await evening.go(5 * SECOND);
  expect(server.vector("Dome", "DOME_SHUTTER").state).toBe("Busy");
  expect(index(server, /EQUATORIAL_EOD_COORD/)).toBe(-1);
  await evening.go(8 * SECOND);
  expect(index(server, /EQUATORIAL_EOD_COORD/)).toBeGreaterThan(0);
  await evening.driver.stop();
});

test("the slit follows during a long exposure", async () => {
  const { evening, server } = await begin();
  await evening.reach("exposing");
  const before = server.orders.length;
  server.set("Dome", "ABS_DOME_POSITION", { DOME_ABSOLUTE_POSITION: "5" });
  await evening.go(16 * SECOND);
  expect(server.orders.slice(before)).toEqual([expect.stringMatching(/^Dome ABS_DOME_POSITION/)]);
  await evening.driver.stop();
});

test("set-point, gain and binning come from the configuration", async () => {
  const config = { ...deviceConfig, coolToCelsius: -15, gain: 200, binning: 2 };
  const evening = await Evening.begin(opensDevice(config));
  const server = serverOf(evening.clock);
  await evening.go(10 * SECOND);
  expect(index(server, /CCD_EXPOSURE/)).toBe(-1);
  await evening.reach("exposing");
  expect(server.orders).toEqual(
    expect.arrayContaining(["Camera CCD_GAIN GAIN=200", "Camera CCD_TEMPERATURE CCD_TEMPERATURE_VALUE=-15"]),
  );
  expect(server.vector("Camera", "CCD_BINNING").values).toEqual({ HOR_BIN: "2", VER_BIN: "2" });
  await evening.driver.stop();
});

test("parks and shuts at dawn, and moves nothing after", async () => {
  const { evening, server } = await begin();
  await evening.go(20 * MINUTE);
  expect(index(server, /SHUTTER_CLOSE|TELESCOPE_PARK PARK/)).toBe(-1);
  await evening.go(12 * 60 * MINUTE);
  expect(server.orders.slice(-2)).toEqual([
    "Mount TELESCOPE_PARK PARK=On",
    "Dome DOME_SHUTTER SHUTTER_CLOSE=On",
  ]);
  expect(evening.desk.state.equipment.dome).toBe("shut");
  await evening.driver.stop();
});

test("a mount with nothing to do stops tracking", async () => {
  const { evening, server } = await begin();
  await evening.go(15 * MINUTE);
  expect(evening.desk.state.waiting.size).toBe(0);
  expect(server.vector("Mount", "TELESCOPE_TRACK_STATE").values.TRACK_ON).toBe("Off");
  await evening.driver.stop();
});

test("a roof is fully open before the mount under it is unparked, and shuts only over the parked mount", async () => {
  const evening = await Evening.begin(
    opensDevice({ ...deviceConfig, enclosure: { kind: "roof", name: "Dome" } }),
  );
  const server = serverOf(evening.clock);
  await evening.go(5 * SECOND);
  expect(index(server, /^Dome DOME_PARK UNPARK/)).toBeGreaterThanOrEqual(0);
  expect(index(server, /^Mount TELESCOPE_PARK/)).toBe(-1);
  await evening.go(13 * 60 * MINUTE);
  const parking = index(server, /^Mount TELESCOPE_PARK PARK/);
  expect(parking).toBeGreaterThan(0);
  expect(server.orders.slice(parking)).toEqual(["Mount TELESCOPE_PARK PARK=On", "Dome DOME_PARK PARK=On"]);
  expect(server.vector("Dome", "DOME_PARK")).toMatchObject({ state: "Ok", values: { PARK: "On" } });
  await evening.driver.stop();
});

test("where it points is what the machines say, never what was planned; without a line nobody knows", async () => {
  const { evening, server } = await begin();
  await evening.go(2 * SECOND);
  server.set("Dome", "ABS_DOME_POSITION", { DOME_ABSOLUTE_POSITION: "211" }, "Busy");
  server.set("Mount", "EQUATORIAL_EOD_COORD", { RA: "3", DEC: "90" }, "Busy");
  await evening.settle();
  expect(evening.driver.status()).toMatchObject({
    activity: "moving",
    domeAzimuthDegrees: 211,
    waitingFor: null,
  });
  // At the pole: as high as the site's latitude.
  expect(evening.driver.status().altitudeDegrees).toBeCloseTo(42.5, 5);
  server.refuses = true;
  server.cut();
  expect(evening.driver.status()).toMatchObject({ altitudeDegrees: null, domeAzimuthDegrees: null });
  await evening.driver.stop();
});
