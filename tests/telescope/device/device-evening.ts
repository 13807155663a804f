/** Evenings on which the machines of a scripted server are driven. */
import type { Clock } from "../../../src/base/clock.js";
import { SECOND } from "../../../src/base/units.js";
import type { DeviceConfig } from "../../../src/config/device-section.js";
import { DeviceLink } from "../../../src/telescope/device/link.js";
import type { TelescopeLink } from "../../../src/telescope/link.js";
import type { Opens } from "../evening.js";
import { deviceConfig, ScriptedServer } from "./scripted-server.js";

/** A frame is judged and written for so long. */
const KEEPING = 6 * SECOND;

/** One server for each evening's clock: it goes on while the program is started again. */
const servers = new WeakMap<Clock, ScriptedServer>();

export function serverOf(clock: Clock): ScriptedServer {
  const server = servers.get(clock) ?? new ScriptedServer(clock);
  servers.set(clock, server);
  return server;
}

export function opensDevice(config: DeviceConfig = deviceConfig): Opens {
  return (makeFrame) => {
    let clock: Clock;
    const link: TelescopeLink = new DeviceLink({
      config,
      open: (end) => serverOf(clock).open(end),
      keep: async (order) => {
        await new Promise<void>((done) => clock.at(clock.now() + KEEPING, done));
        return makeFrame(order);
      },
    });
    const start = link.start.bind(link);
    link.start = (host) => {
      ({ clock } = host);
      return start(host);
    };
    return link;
  };
}
