/** The device link against the protocol's own simulators: a class's five requests, then everything that can break. */
import { join } from "node:path";
import { afterAll, afterEach, beforeAll, describe, expect, test } from "vitest";
import { ByteReader } from "../../../src/telescope/frames/byte-reader.js";
import { cardValue } from "../../../src/telescope/frames/fits-cards.js";
import { findImage } from "../../../src/telescope/frames/fits-headers.js";
import { SimulatedNight } from "./simulated-night.js";
import { Simulators, whyNoSimulators } from "./simulators.js";

const missing = whyNoSimulators();
if (missing !== null) process.stderr.write(`tests/telescope/device/simulators: ${missing}\n`);

describe.skipIf(missing !== null)("on the protocol's simulators", () => {
  let simulators: Simulators;
  let night: SimulatedNight;
  beforeAll(async () => {
    simulators = await Simulators.start();
  });
  afterEach(() => night?.end());
  afterAll(() => simulators?.stop());

  const begin = async (numbers: readonly number[], exposureSeconds: number): Promise<void> => {
    simulators.alter = (text) => text;
    simulators.delayMs = 0;
    night = new SimulatedNight(simulators);
    await night.driver.start();
    await night.ask(numbers, exposureSeconds);
    await night.resume();
  };

  test("a class's five requests give five FITS files with the right object and coordinates", async () => {
    await begin([1, 2, 3, 4, 5], 0.5);
    for (const number of [1, 2, 3, 4, 5]) {
      await night.completed(number);
      const { requests, frames } = night.desk.state;
      const { target } = requests.get(number) as {
        target: { name: string; raDegrees: number; decDegrees: number };
      };
      const [frame] = frames.get(number) ?? [];
      const reader = await ByteReader.open({ path: join(night.folder, frame?.imageFile ?? "") });
      const { cards, width, height } = await findImage(reader);
      reader.close();
      expect([width, height]).toEqual([1280, 1024]);
      expect(cardValue(cards, "OBJECT")).toBe(target.name);
      expect(cardValue(cards, "EXPTIME")).toBe(0.5);
      expect(cardValue(cards, "FILTER")).toBe("V");
      const turn =
        ((cardValue(cards, "RA") as number) - target.raDegrees) *
        Math.cos((target.decDegrees * Math.PI) / 180);
      expect(Math.abs(turn)).toBeLessThan(0.1);
      expect(Math.abs((cardValue(cards, "DEC") as number) - target.decDegrees)).toBeLessThan(0.1);
      expect(frame?.simulated).toBe(false);
    }
  });

  const held = (says: RegExp): Promise<void> => night.until(({ hold }) => says.test(hold?.reason ?? ""), 40);
  const frames = (number: number): number => night.desk.state.frames.get(number)?.length ?? 0;

  test("a camera driver that hangs in mid-exposure: a hold, no answer to the first resume, and one frame in the end", async () => {
    await begin([1], 2);
    await night.exposing();
    simulators.signal("ccd", "STOP");
    await held(/^the camera sent no frame within/);
    await night.resume();
    await held(/^the camera \("CCD Simulator"\) did not say how it stands/);
    simulators.signal("ccd", "CONT");
    await night.resume();
    await night.completed(1);
    expect(frames(1)).toBe(1);
  });

  test("a camera driver that is killed in mid-exposure is set up anew, and the lost frame taken again", async () => {
    await begin([1], 2);
    await night.exposing();
    simulators.signal("ccd", "KILL");
    await held(/^the camera/);
    await night.resume();
    await night.completed(1);
    expect(frames(1)).toBe(1);
  });

  test("a line that is dropped in mid-exposure: a hold, and the frame that comes after all is kept", async () => {
    await begin([1], 3);
    await night.exposing();
    const { startUnixMs } = { startUnixMs: night.clock.now() };
    simulators.drop();
    await held(/^the connection to the devices' server broke/);
    await night.resume();
    await night.completed(1);
    expect(night.desk.state.frames.get(1)?.[0]?.startUnixMs).toBeLessThanOrEqual(startUnixMs + 100);
  });

  describe.skipIf(process.env.SIMULATORS !== "all")("in the longer run (npm run simulators)", () => {
    test("a line on which everything is late, and one on which a number is wrong", async () => {
      await begin([1], 0.5);
      simulators.delayMs = 400;
      await night.completed(1);
      simulators.delayMs = 0;
      simulators.alter = (text) => text.replace(/(name="CCD_EXPOSURE"[^>]*state=)"(Busy|Ok)"/g, '$1"Alert"');
      await night.ask([2], 0.5);
      await held(/^the camera/);
      simulators.alter = (text) => text;
      await night.resume();
      await night.completed(2);
    });

    test("a mount driver that is killed while it slews: a hold, and all is told to it anew", async () => {
      await begin([1], 0.5);
      await night.until(({ taken }) => taken !== null);
      await new Promise((done) => setTimeout(done, 1_500));
      simulators.signal("telescope", "KILL");
      await held(/mount|Telescope/);
      await night.resume();
      await night.completed(1);
    });
  });
});
