/** A small body whose elements have aged too much to be pointed at: said, not tried. */
import type { UtcMillis } from "../../base/units.js";
import type { Observatory } from "../../observatory/observatory.js";
import { fieldDegrees } from "../../observatory/photometry.js";
import { elementsYear, expectedErrorArcminutes } from "../../sky/small-bodies/expected-error.js";
import type { Target } from "../../sky/target.js";

/** One sentence where a frame would probably miss the body; null where it would not, and for all other targets. */
export function oldElementsWords(target: Target, unixMs: UtcMillis, { camera }: Observatory): string | null {
  if (target.kind !== "orbit") return null;
  const error = expectedErrorArcminutes(target, unixMs);
  const { width, height } = fieldDegrees(camera);
  const half = (Math.min(width, height) * 60) / 2;
  if (error <= half) return null;
  return `These elements of ${target.name} are from ${elementsYear(target)}, so it may be ${arcminutes(error)} from where they put it, and the field reaches only ${arcminutes(half)} from its middle: bring newer ones from the Minor Planet Center`;
}

function arcminutes(value: number): string {
  return value >= 90
    ? `${(value / 60).toFixed(value < 600 ? 1 : 0)}°`
    : `${value.toFixed(value < 10 ? 1 : 0)}′`;
}
