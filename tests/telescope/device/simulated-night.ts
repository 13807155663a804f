/** A night on the simulators: the real driver and link on real time, at a place on Earth where it is midnight now. */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { ScaledClock } from "../../../src/base/clock.js";
import { silentLog } from "../../../src/base/log.js";
import { HOUR } from "../../../src/base/units.js";
import type { Config } from "../../../src/config/config.js";
import { type DeviceConfig, deviceSection } from "../../../src/config/device-section.js";
import { loadConfig } from "../../../src/config/load.js";
import { openForecast } from "../../../src/estimates/open-forecast.js";
import type { Desk } from "../../../src/journal/desk.js";
import { openMemoryDesk } from "../../../src/journal/open-desk.js";
import type { State } from "../../../src/journal/state.js";
import { siderealRadians } from "../../../src/sky/sidereal.js";
import type { FixedTarget } from "../../../src/sky/target.js";
import { deviceTelescope } from "../../../src/telescope/device/device.js";
import { TelescopeDriver } from "../../../src/telescope/driver.js";
import type { Simulators } from "./simulators.js";

const example = loadConfig("config/tern-hollow.yaml");

const device = (port: number, limits: Partial<DeviceConfig["limitSeconds"]>): DeviceConfig =>
  deviceSection.parse({
    port,
    ...{ mount: "Telescope Simulator", camera: "CCD Simulator", wheel: "Filter Simulator" },
    weather: "Weather Simulator",
    weatherGoodSeconds: 1,
    enclosure: { kind: "dome", name: "Dome Simulator" },
    limitSeconds: { answer: 2, readOut: 2, ...limits },
  });

/** The example observatory, carried to where it is midnight, with the simulators' camera. */
function midnightConfig(port: number, limits: Partial<DeviceConfig["limitSeconds"]>): Config {
  const hours = (Date.now() % (24 * HOUR)) / HOUR;
  const longitudeDegrees = hours < 12 ? -15 * hours : 360 - 15 * hours;
  const offset = Math.round(longitudeDegrees / 15);
  const timeZone = `Etc/GMT${offset > 0 ? "-" : "+"}${Math.abs(offset)}`;
  const { observatory } = example;
  return {
    ...example,
    observatory: {
      ...observatory,
      handOverSeconds: 0,
      site: { ...observatory.site, longitudeDegrees, timeZone },
      mount: { ...observatory.mount, settleSeconds: 0 },
      camera: { ...observatory.camera, widthPixels: 1280, heightPixels: 1024, readOutSeconds: 0 },
    },
    telescope: { ...example.telescope, link: "device", device: device(port, limits) },
  };
}

export class SimulatedNight {
  readonly folder = mkdtempSync(join(tmpdir(), "simulated-night-"));
  readonly clock = new ScaledClock(Date.now(), 1);
  readonly desk: Desk = openMemoryDesk({ clock: this.clock, derive: () => [] });
  readonly config: Config;
  readonly driver: TelescopeDriver;

  constructor(simulators: Simulators, limits: Partial<DeviceConfig["limitSeconds"]> = {}) {
    const { desk, clock, folder } = this;
    this.config = midnightConfig(simulators.port, limits);
    const config = this.config;
    const link = deviceTelescope(config, folder).link(clock);
    const forecast = openForecast({ desk, config, clock });
    this.driver = new TelescopeDriver({ desk, clock, config, forecast, log: silentLog, link });
  }

  /** Requests of one frame each, for places above the pole, a little east by default: short ways for mount and dome. */
  async ask(numbers: readonly number[], exposureSeconds: number, eastDegrees = 15): Promise<void> {
    const { site } = this.config.observatory;
    const overhead = (siderealRadians(this.clock.now(), site) * 180) / Math.PI;
    for (const number of numbers) {
      const target: FixedTarget = {
        ...{ kind: "fixed", id: `place-${number}`, name: `Place ${number}`, type: "star" },
        ...{ raDegrees: (overhead + eastDegrees + number + 360) % 360, decDegrees: 80 + number / 2 },
        ...{ magnitude: 9, sizeArcminutes: null, constellation: "UMi", otherNames: [], distance: null },
      } as unknown as FixedTarget;
      const wish = { target, filter: "V", exposureSeconds, frames: 1, notBeforeUnixMs: null, note: null };
      const whose = { owner: "terminal:mira", classId: "evening-2", group: null, tier: 1 };
      const via = { surface: "terminal", channel: "main" };
      await this.desk.act(() => [{ type: "request.made", number, wish, ...whose, via }], { by: "test" });
    }
  }

  /** An operator has looked. */
  async resume(): Promise<void> {
    await this.desk.act(() => [{ type: "hold.lifted", by: "terminal:okoro", nobodyInside: true }], {
      by: "test",
    });
  }

  /** Waits for something to become so in the journal. */
  async until(so: (state: State) => boolean, seconds = 60): Promise<void> {
    if (so(this.desk.state)) return;
    await new Promise<void>((resolve, reject) => {
      const late = setTimeout(
        () => reject(new Error(`it did not come to that; the hold says: ${this.desk.state.hold?.reason}`)),
        seconds * 1000,
      );
      const stop = this.desk.listen(() => {
        if (!so(this.desk.state)) return;
        clearTimeout(late);
        stop();
        resolve();
      });
    });
  }

  completed(number: number, seconds?: number): Promise<void> {
    return this.until(({ requests }) => requests.get(number)?.state === "completed", seconds);
  }

  /** Waits for the exposure that is under way; false where none comes. */
  async exposing(): Promise<void> {
    for (let tries = 0; tries < 600 && this.driver.status().activity !== "exposing"; tries++)
      await new Promise((done) => setTimeout(done, 50));
  }

  async end(): Promise<void> {
    await this.driver.stop();
    rmSync(this.folder, { recursive: true, force: true });
  }
}
