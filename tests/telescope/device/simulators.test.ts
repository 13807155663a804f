/** The device link against the protocol's own simulators: a class's five requests, then everything that can break. */
import { join } from "node:path";
import { afterAll, afterEach, beforeAll, describe, expect, test } from "vitest";
import { ByteReader } from "../../../src/telescope/frames/byte-reader.js";
import { cardValue } from "../../../src/telescope/frames/fits-cards.js";
import { findImage } from "../../../src/telescope/frames/fits-headers.js";
import { SimulatedNight } from "./simulated-night.js";
import { Simulators, whyNoSimulators } from "./simulators.js";

/** Longer than any way of the simulators' takes, seconds: what hangs is given up then. */
const LONGEST = { slew: 60, domeTurn: 60 };
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
    night = new SimulatedNight(simulators, LONGEST);
    await night.driver.start();
    await night.ask(numbers, exposureSeconds);
    await night.resume();
  };

  const isLonger = process.env.SIMULATORS === "all";
  const numbers = isLonger ? [1, 2, 3, 4, 5] : [1, 2];

  test("a class's requests give a FITS file each, with the right object and coordinates", async () => {
    await begin(numbers, 0.5);
    for (const number of numbers) {
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
      const named = ["REQUEST", "CLASS", "TARGET", "ASKEDBY"].map((keyword) => cardValue(cards, keyword));
      expect(named).toEqual([number, "Evening Survey, section 2", target.name, undefined]);
      expect(frame?.imageFile).toMatch(new RegExp(`evening-2-${number}-1-place-${number}\\.fits$`));
      const turn =
        ((cardValue(cards, "RA") as number) - target.raDegrees) *
        Math.cos((target.decDegrees * Math.PI) / 180);
      expect(Math.abs(turn)).toBeLessThan(0.1);
      expect(Math.abs((cardValue(cards, "DEC") as number) - target.decDegrees)).toBeLessThan(0.1);
      expect(frame?.simulated).toBe(false);
    }
  });

  const held = (says: RegExp): Promise<void> => night.until(({ hold }) => says.test(hold?.reason ?? ""), 100);
  const frames = (number: number): number => night.desk.state.frames.get(number)?.length ?? 0;

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

  describe.skipIf(!isLonger)("in the longer run (npm run simulators)", { timeout: 200_000 }, () => {
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

    /** The machines are on a long way to a request's place. */
    const slewing = async (): Promise<void> => {
      await begin([1], 0.5);
      await night.completed(1);
      const moves = simulators.says(/EQUATORIAL_EOD_COORD[^>]*state="Busy"/);
      await night.ask([2], 0.5, -70);
      await moves;
    };

    test.each(["telescope", "dome"])(
      "a %s driver that is killed while it moves: a hold, and all is told to it anew",
      async (driver) => {
        await slewing();
        simulators.signal(driver, "KILL");
        await held(driver === "dome" ? /dome|Dome/ : /mount|Telescope/);
        expect(frames(2)).toBe(0);
        await night.resume();
        await night.completed(2);
      },
    );

    test.each(["telescope", "dome"])(
      "a %s driver that hangs while it moves: a hold, again at the first resume, and gone on with once it answers",
      async (driver) => {
        await slewing();
        simulators.signal(driver, "STOP");
        await held(/ within \d+ s$/);
        await night.resume();
        await held(/^the (mount|dome) .* did not say how it stands within 2 s$/);
        simulators.signal(driver, "CONT");
        await night.resume();
        await night.completed(2);
        expect(frames(2)).toBe(1);
      },
    );

    test("a server that is started anew in mid-exposure: a hold, every device set up anew, and the lost frame taken again", async () => {
      await begin([1], 3);
      await night.exposing();
      await simulators.restart();
      await held(/^(the connection to the devices' server broke|the camera|nobody answers)/);
      await night.resume();
      await night.completed(1, 90);
      expect(frames(1)).toBe(1);
    });

    test("an exposure that somebody else aborts: a hold that says so, and one frame in the end", async () => {
      await begin([1], 4);
      await night.exposing();
      await simulators.tell(
        "<newSwitchVector device='CCD Simulator' name='CCD_ABORT_EXPOSURE'><oneSwitch name='ABORT'>On</oneSwitch></newSwitchVector>",
      );
      await held(/^the exposure was aborted at the camera$/);
      await night.resume();
      await night.completed(1);
      expect(frames(1)).toBe(1);
    });

    test("wind: the request goes back, everything is parked and shut, and goes on by itself when it has died down", async () => {
      const wind = (speed: number): Promise<void> =>
        simulators.tell(
          `<newNumberVector device='Weather Simulator' name='WEATHER_CONTROL'><oneNumber name='Wind'>${speed}</oneNumber></newNumberVector>` +
            "<newSwitchVector device='Weather Simulator' name='WEATHER_REFRESH'><oneSwitch name='REFRESH'>On</oneSwitch></newSwitchVector>",
        );
      await begin([1], 20);
      await night.exposing();
      const shut = simulators.says(/DOME_SHUTTER"[^>]*state="(Ok|Idle)".*?name="SHUTTER_CLOSE">\s*On/s);
      await wind(60);
      await night.until(({ requests }) => requests.get(1)?.state === "waiting");
      await shut;
      expect(night.desk.state).toMatchObject({ hold: null, equipment: { dome: "kept-shut" } });
      await wind(2);
      await night.completed(1, 150);
    });
  });
});
