/** A galaxy: bulge, exponential disc, two spiral arms. */
import { type Degrees, RADIANS_PER_DEGREE } from "../../../base/units.js";
import { addSurface } from "../image.js";
import type { Brush } from "./brush.js";

/** Shorter over longer axis, and position angle of the longer one from north through east. */
interface Shape {
  readonly axisRatio: number;
  readonly positionAngleDegrees: Degrees;
}

/** Well-known ones (from memory); any other gets a shape from its seed. */
const SHAPES: Readonly<Record<string, Shape>> = {
  M31: { axisRatio: 0.32, positionAngleDegrees: 35 },
  M33: { axisRatio: 0.6, positionAngleDegrees: 23 },
  M51: { axisRatio: 0.8, positionAngleDegrees: 163 },
  M63: { axisRatio: 0.57, positionAngleDegrees: 105 },
  M64: { axisRatio: 0.54, positionAngleDegrees: 115 },
  M65: { axisRatio: 0.3, positionAngleDegrees: 174 },
  M66: { axisRatio: 0.46, positionAngleDegrees: 173 },
  M81: { axisRatio: 0.52, positionAngleDegrees: 157 },
  M82: { axisRatio: 0.38, positionAngleDegrees: 65 },
  M101: { axisRatio: 0.95, positionAngleDegrees: 30 },
  M104: { axisRatio: 0.4, positionAngleDegrees: 90 },
  M106: { axisRatio: 0.39, positionAngleDegrees: 150 },
  M110: { axisRatio: 0.5, positionAngleDegrees: 170 },
  NGC253: { axisRatio: 0.25, positionAngleDegrees: 52 },
  NGC891: { axisRatio: 0.19, positionAngleDegrees: 22 },
  NGC4565: { axisRatio: 0.12, positionAngleDegrees: 136 },
};

/** The listed size is taken as 3.2 scale lengths of the disc each way (Freeman 1970, ApJ 160, 811). */
const SCALE_LENGTHS = 3.2;
const BULGE_SHARE = 0.2;
/** How far arms wind: the angle between an arm and a circle. */
const PITCH_DEGREES = 16;

/** @param sizeArcminutes longest diameter */
export function drawGalaxy(brush: Brush, id: string, magnitude: number, sizeArcminutes: number): void {
  const { light, centre, arcsecondsPerPixel, random } = brush;
  const seeded = { axisRatio: 0.35 + 0.6 * random.uniform(), positionAngleDegrees: 180 * random.uniform() };
  const { axisRatio, positionAngleDegrees } = SHAPES[id] ?? seeded;
  const twist = 2 * Math.PI * random.uniform();
  const edge = (sizeArcminutes * 30) / arcsecondsPerPixel;
  const length = Math.max(edge / SCALE_LENGTHS, brush.fwhmPixels / 2);
  const bulge = length / 60;
  const total = brush.electronsOf(magnitude);
  // Integrals of both profiles over the ellipse, so that all the light adds up to the magnitude.
  const disc = ((1 - BULGE_SHARE) * total) / (2 * Math.PI * length * length * axisRatio);
  const core = (BULGE_SHARE * total) / (24 * Math.PI * bulge * bulge * Math.sqrt(axisRatio));
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
