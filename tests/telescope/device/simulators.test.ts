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
      const { target } = requests.get(number) as { target: { name: string; raDegrees: number; decDegrees: number } };
      const [frame] = frames.get(number) ?? [];
      const reader = await ByteReader.open({ path: join(night.folder, frame?.imageFile ?? "") });
      const { cards, width, height } = await findImage(reader);
      reader.close();
      expect([width, height]).toEqual([1280, 1024]);
      expect(cardValue(cards, "OBJECT")).toBe(target.name);
      expect(cardValue(cards, "EXPTIME")).toBe(0.5);
      expect(cardValue(cards, "FILTER")).toBe("V");
      const turn = ((cardValue(cards, "RA") as number) - target.raDegrees) * Math.cos((target.decDegrees * Math.PI) / 180);
      expect(Math.abs(turn)).toBeLessThan(0.1);
      expect(Math.abs((cardValue(cards, "DEC") as number) - target.decDegrees)).toBeLessThan(0.1);
      expect(frame?.simulated).toBe(false);
    }
  });
});
