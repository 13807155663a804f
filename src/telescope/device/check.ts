/** `npm run check` for machines: what of them is there, what each has, and what is missing. Gives no order. */
import { systemClock } from "../../base/clock.js";
import { type Millis, SECOND } from "../../base/units.js";
import type { Config } from "../../config/config.js";
import { deviceOf } from "./device.js";
import { Line } from "./line/line.js";
import type { Properties } from "./line/properties.js";
import { type OpensWire, tcpWire } from "./line/wire.js";
import { Machines, type Part } from "./machines/machines.js";

export interface DeviceFindings {
  /** One line for each device, to print as it is. */
  readonly lines: readonly string[];
  readonly ok: boolean;
}

/** A server has told of everything after so long, real time. */
const LISTEN = 3 * SECOND;

/**
 * Looks at the devices of a configuration whose link is `device`.
 * @param open for tests; default: as the configuration says
 * @throws {Refusal} where the configuration does not fit
 */
export async function checkDevices(
  config: Config,
  open?: OpensWire,
  listenMs: Millis = LISTEN,
): Promise<DeviceFindings> {
  const device = deviceOf(config);
  const where = `${device.host}:${device.port}`;
  const clock = systemClock();
  const line = new Line({
    ...{ clock, open: open ?? tcpWire(device.host, device.port) },
    ...{ onBlob: () => {}, onLost: () => {} },
  });
  const machines = new Machines(device, config.observatory);
  try {
    await line.connect();
  } catch {
    const mend = "start the devices' server, or mend telescope.device.host and port";
    return { lines: [`WRONG  Nobody answers at ${where}: ${mend}.`], ok: false };
  }
  const { properties } = line;
  await line.until(() => (machines.isKnown(properties) ? true : null), listenMs, "").catch(() => {});
  const findings = machines.parts.map((part) => finding(part, properties));
  line.close(new Error("looked"));
  return {
    lines: [`right  The devices' server answers at ${where}; nothing was moved.`, ...findings],
    ok: findings.every((each) => !each.startsWith("WRONG")),
  };
}

function finding({ part, name, wanted }: Part, properties: Properties): string {
  const title = `The ${part} "${name}"`;
  if (!properties.has(name)) {
    const there = properties.deviceNames().join(", ") || "none";
    return `WRONG  ${title} is not at the server; the devices there: ${there}.`;
  }
  const connected = properties.isOn(name, "CONNECTION", "CONNECT");
  const has = wanted.filter((each) => properties.get(name, each));
  const missing = wanted.filter((each) => !properties.get(name, each));
  if (!connected && missing.length > 0)
    return `note   ${title} is not connected yet, so its properties are not known; it is connected when the first request is taken.`;
  const found = `${title} is ${connected ? "connected" : "not connected yet"} and has ${has.join(", ") || "none of what is needed"}`;
  return missing.length === 0 ? `right  ${found}.` : `WRONG  ${found}; missing: ${missing.join(", ")}.`;
}
