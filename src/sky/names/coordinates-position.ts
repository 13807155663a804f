/** A bare position as a target: its id is the position itself, in the IAU's manner (J, right ascension, declination). */

import type { FixedTarget } from "../target.js";
import type { Coordinates } from "./coordinates-text.js";

const ID = /^J(\d{2})(\d{2})(\d{2}(?:\.\d{1,2})?)([+-])(\d{2})(\d{2})(\d{2}(?:\.\d)?)$/i;

/** A full turn of right ascension in hundredths of a second. */
const DAY_HUNDREDTHS = 8_640_000;

/**
 * The target at a position, rounded to what its id can say: whole seconds where that loses at most 0.05 s and 0.05″,
 * else 0.01 s and 0.1″. Right ascension in [0°, 360°), declination in [−90°, +90°].
 */
export function positionTarget({ raDegrees, decDegrees }: Coordinates): FixedTarget {
  const raHundredths = Math.round(raDegrees * 24_000) % DAY_HUNDREDTHS;
  const decTenths = Math.round(Math.abs(decDegrees) * 36_000);
  const whole = isNearly(raHundredths, 100, 5) && isNearly(decTenths, 10, 0);
  const sign = decDegrees < 0 && decTenths > 0 ? "-" : "+";
  const ra = sexagesimal(whole ? Math.round(raHundredths / 100) % 86_400 : raHundredths / 100, whole ? 0 : 2);
  const dec = sexagesimal(decTenths / 10, whole ? 0 : 1);
  return positionFromId(`J${ra.join("")}${sign}${dec.join("")}`) as FixedTarget;
}

/** The target that a `J…` id stands for; null when it isn't such an id or is out of range. */
export function positionFromId(id: string): FixedTarget | null {
  const match = ID.exec(id);
  if (!match) return null;
  const [, hours, raMinutes, raSeconds, sign, degrees, minutes, seconds] = match as unknown as string[];
  const ra = (Number(hours) + Number(raMinutes) / 60 + Number(raSeconds) / 3600) * 15;
  const dec = (Number(degrees) + Number(minutes) / 60 + Number(seconds) / 3600) * (sign === "-" ? -1 : 1);
  const sixties = [raMinutes, raSeconds, minutes, seconds].every((part) => Number(part) < 60);
  if (!sixties || ra >= 360 || Math.abs(dec) > 90) return null;
  return {
    kind: "fixed",
    id: id.toUpperCase(),
    name: `Position ${hours} ${raMinutes} ${raSeconds} ${sign === "-" ? "−" : "+"}${degrees} ${minutes} ${seconds}`,
    type: "position",
    raDegrees: ra,
    decDegrees: dec,
    magnitude: null,
    sizeArcminutes: null,
  };
}

function isNearly(units: number, step: number, slack: number): boolean {
  const rest = units % step;
  return Math.min(rest, step - rest) <= slack;
}

/** Hours or degrees, minutes, seconds, each of two digits before the point. */
function sexagesimal(seconds: number, places: number): [string, string, string] {
  const scale = 10 ** places;
  const total = Math.round(seconds * scale);
  const pad = (value: number) => String(value).padStart(2, "0");
  const rest = total % (60 * scale);
  const fraction = places === 0 ? "" : `.${String(rest % scale).padStart(places, "0")}`;
  const minutes = Math.floor(total / (60 * scale));
  return [pad(Math.floor(minutes / 60)), pad(minutes % 60), pad(Math.floor(rest / scale)) + fraction];
}
