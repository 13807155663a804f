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

/** Seen edge on though they are listed round, for the bulge or the halo about the disc (common knowledge, no source). */
const EDGE_ON: ReadonlySet<string> = new Set(["M104", "M102", "M82", "NGC3628"]);
/** Flatter than this a disc shows no arms, only its edge. */
const FLAT = 0.25;
/** A disc seen edge on is this thin at least (common practice, no source). */
const THINNEST = 0.1;
/** How far arms wind: the angle between an arm and a circle. */
const PITCH_DEGREES = 16;
/** Dust along the edge: how much light it takes, and how wide it is beside the disc's scale length. */
const DUST = { depth: 0.6, width: 0.06 } as const;

/** How a galaxy is turned to us: the axis ratios of disc and bulge, the bulge's share of the light, its scale beside the disc's. */
interface Build {
  readonly edgeOn: boolean;
  readonly flatness: number;
  readonly roundness: number;
  readonly bulgeShare: number;
  readonly bulgeScale: number;
}

/** The rounder an edge-on galaxy is listed, the more of it is bulge. */
function buildOf(id: string, listedRatio: number): Build {
  const edgeOn = EDGE_ON.has(id) || listedRatio < FLAT;
  const ratio = Math.max(THINNEST, listedRatio);
  if (!edgeOn) {
    const roundness = Math.sqrt(ratio);
    return { edgeOn, flatness: ratio, roundness, bulgeShare: GALAXY.bulgeShare, bulgeScale: 1 / 60 };
  }
  const bulgeShare = Math.min(0.8, GALAXY.bulgeShare + 1.5 * (ratio - THINNEST));
  return { edgeOn, flatness: THINNEST, roundness: 0.7, bulgeShare, bulgeScale: bulgeShare / 15 };
}

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
  const { edgeOn, flatness, roundness, bulgeShare, bulgeScale } = buildOf(
    id,
    shorterArcminutes / sizeArcminutes,
  );
  const twist = 2 * Math.PI * random.uniform();
  const edge = (sizeArcminutes * 30) / arcsecondsPerPixel;
  const length = Math.max(edge / GALAXY.scaleLengths, brush.fwhmPixels / 2);
  const bulge = length * bulgeScale;
  const total = brush.electronsOf(magnitude);
  // Integrals of both profiles over the ellipse, so that all the light adds up to the magnitude.
  const disc = ((1 - bulgeShare) * total) / (2 * Math.PI * length * length * flatness);
  const core = (bulgeShare * total) / (24 * Math.PI * bulge * bulge * roundness);
  const angle = positionAngleDegrees * RADIANS_PER_DEGREE;
  const winding = 1 / Math.tan(PITCH_DEGREES * RADIANS_PER_DEGREE);
  const armsAt = (along: number, across: number, radius: number): number => {
    const phase = Math.atan2(across / flatness, along) - winding * Math.log(radius / length + 0.05);
    return 1 + 0.75 * Math.min(1, radius / length) * Math.cos(2 * phase + twist);
  };
  // A little to one side of the middle, as seen from not quite within the disc's plane.
  const dustAt = (along: number, across: number): number => {
    const beside = across / (DUST.width * length) - 0.5;
    return 1 - DUST.depth * Math.exp(-beside * beside - (along / (0.8 * edge)) ** 4);
  };

  addSurface(light, centre, edge * 1.5, (dx, dy) => {
    const along = dy * Math.cos(angle) - dx * Math.sin(angle);
    const across = -dy * Math.sin(angle) - dx * Math.cos(angle);
    const radius = Math.hypot(along, across / flatness);
    const round = Math.hypot(along, across / roundness) + 0.5;
    const shine = disc * Math.exp(-radius / length);
    const heart = core * Math.exp(-Math.sqrt(round / bulge));
    return edgeOn ? (shine + heart) * dustAt(along, across) : shine * armsAt(along, across, radius) + heart;
  });
}
