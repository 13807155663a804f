/** A galaxy: bulge, exponential disc, two spiral arms. */
import { type Degrees, RADIANS_PER_DEGREE } from "../../../base/units.js";
import { GALAXY } from "../../../observatory/glow/surface-brightness.js";
import { addSurface } from "../image.js";
import type { Brush } from "./brush.js";

/** Position angles of the longer axis, north through east, of well-known ones (from memory); others get theirs from the seed. */
const POSITION_ANGLES: Readonly<Record<string, Degrees>> = {
  M31: 35,
  M33: 23,
  M51: 163,
  M63: 105,
  M64: 115,
  M65: 174,
  M66: 173,
  M81: 157,
  M82: 65,
  M101: 30,
  M104: 90,
  M106: 150,
  M110: 170,
  NGC253: 52,
  NGC891: 22,
  NGC4565: 136,
};

/** A disc seen edge on is this thin at least (common practice, no source). */
const THINNEST = 0.1;
/** How far arms wind: the angle between an arm and a circle. */
const PITCH_DEGREES = 16;

/** Drawn with the axes that are listed, so that what is edge on looks so. */
export function drawGalaxy(
  brush: Brush,
  id: string,
  magnitude: number,
  [sizeArcminutes, shorterArcminutes]: readonly [number, number],
): void {
  const { light, centre, arcsecondsPerPixel, random } = brush;
  const seeded = 180 * random.uniform();
  const positionAngleDegrees = POSITION_ANGLES[id] ?? seeded;
  const axisRatio = Math.max(THINNEST, shorterArcminutes / sizeArcminutes);
  const twist = 2 * Math.PI * random.uniform();
  const edge = (sizeArcminutes * 30) / arcsecondsPerPixel;
  const length = Math.max(edge / GALAXY.scaleLengths, brush.fwhmPixels / 2);
  const bulge = length / 60;
  const total = brush.electronsOf(magnitude);
  // Integrals of both profiles over the ellipse, so that all the light adds up to the magnitude.
  const disc = ((1 - GALAXY.bulgeShare) * total) / (2 * Math.PI * length * length * axisRatio);
  const core = (GALAXY.bulgeShare * total) / (24 * Math.PI * bulge * bulge * Math.sqrt(axisRatio));
  const angle = positionAngleDegrees * RADIANS_PER_DEGREE;
  const winding = 1 / Math.tan(PITCH_DEGREES * RADIANS_PER_DEGREE);

  addSurface(light, centre, edge * 1.5, (dx, dy) => {
    const along = dy * Math.cos(angle) - dx * Math.sin(angle);
    const across = -dy * Math.sin(angle) - dx * Math.cos(angle);
    const radius = Math.hypot(along, across / axisRatio);
    const round = Math.hypot(along, across / Math.sqrt(axisRatio)) + 0.5;
    const phase = Math.atan2(across / axisRatio, along) - winding * Math.log(radius / length + 0.05);
    const strength = 0.75 * Math.min(1, radius / length);
    const arms = 1 + strength * Math.cos(2 * phase + twist);
    return disc * Math.exp(-radius / length) * arms + core * Math.exp(-Math.sqrt(round / bulge));
  });
}
