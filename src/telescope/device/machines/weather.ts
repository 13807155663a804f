/** The weather, as its station reports it. */
import { SECOND, type UtcMillis } from "../../../base/units.js";
import type { DeviceConfig } from "../../../config/device-section.js";
import type { Properties } from "../line/properties.js";

/** The readings are sent at every refresh, the state only when it changes: the readings show how fresh it is. */
const READINGS = "WEATHER_PARAMETERS";
const STATUS = "WEATHER_STATUS";

export const WEATHER_KEYS = [STATUS];
export const WEATHER_WANTED = [STATUS, READINGS];

/** Why the dome has to be shut, a clause; null when it may be open, or nobody reports the weather. */
export function badWeather(
  properties: Properties,
  { weather, weatherOldSeconds }: DeviceConfig,
  nowUnixMs: UtcMillis,
): string | null {
  if (weather === null) return null;
  const status = properties.get(weather, STATUS);
  const readings = properties.get(weather, READINGS) ?? status;
  if (!status || !readings) return "no weather report has come";
  const oldSeconds = (nowUnixMs - readings.heardUnixMs) / SECOND;
  if (oldSeconds > weatherOldSeconds) return `the last weather report is ${Math.round(oldSeconds)} s old`;
  if (status.state !== "Alert") return null;
  const bad = [...status.values].filter(([, state]) => state === "Alert").map(([name]) => plain(name));
  return bad.length > 0 ? `the weather station warns of ${bad.join(", ")}` : "the weather station warns";
}

/** "WEATHER_WIND_SPEED" as "wind speed". */
function plain(name: string): string {
  return name
    .replace(/^WEATHER_/, "")
    .replace(/_/g, " ")
    .toLowerCase();
}
