/** A telescope whose machines are driven over the INDI protocol, as the program starts it. */
import { Refusal } from "../../base/refusal.js";
import type { Config } from "../../config/config.js";
import type { DeviceConfig } from "../../config/device-section.js";
import { openFitsFrames } from "../frames/fits-frames.js";
import type { Telescope } from "../link.js";
import { tcpWire } from "./line/wire.js";
import { DeviceLink } from "./link.js";

/** @throws {Refusal} where the configuration cannot be used, naming the setting */
export function deviceTelescope(config: Config, dataFolder: string): Telescope {
  const device = deviceOf(config);
  const frames = openFitsFrames(config, dataFolder);
  return {
    speed: 1,
    link: () =>
      new DeviceLink({
        config: device,
        open: tcpWire(device.host, device.port),
        keep: (order, bytes) => frames.keep(order, { bytes }),
        frames,
      }),
    begin: () => () => {},
  };
}

/**
 * The section of a configuration whose link is `device`.
 * @throws {Refusal} where it is missing, or does not fit the observatory
 */
export function deviceOf({ telescope, observatory }: Config): DeviceConfig {
  const { device } = telescope;
  if (!device)
    throw new Refusal(
      "no-device",
      "telescope.link is device, so telescope.device has to name its machines: mount and camera at least.",
    );
  const isDome = device.enclosure?.kind === "dome";
  if (isDome !== (observatory.dome !== null))
    throw new Refusal(
      "enclosure-mismatch",
      isDome
        ? "telescope.device.enclosure is a dome, so observatory.dome has to describe it."
        : "observatory.dome describes a dome, so telescope.device.enclosure has to name it, with kind: dome.",
    );
  if (device.wheel === null && observatory.camera.filters.length > 1)
    throw new Refusal(
      "no-wheel",
      "observatory.camera.filters names several filters, so telescope.device.wheel has to name the wheel.",
    );
  return device;
}
