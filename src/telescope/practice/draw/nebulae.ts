/** Nebulae: the round shell of a planetary, the clouds of the others. */

import type { Random } from "../../../base/random.js";
import { RADIANS_PER_DEGREE } from "../../../base/units.js";
import { addStar, addSurface } from "../image.js";
import type { Brush } from "./brush.js";

/** A planetary nebula's central star is this much fainter than the nebula (9 and 15 for M57; from memory). */
const CENTRAL_STAR = 6.2;

/** How empty the middle is, 0 to 1, of well-known ones (from memory); others get theirs from their seed. */
const HOLLOWNESS: Readonly<Record<string, number>> = { M57: 1, M27: 0.35, M97: 0.45, M76: 0.5 };

/** A planetary nebula: a hollow shell seen in projection, its edge brightest, and its central star. */
export function drawPlanetaryNebula(
  brush: Brush,
  id: string,
  magnitude: number,
  sizeArcminutes: number,
): void {
  const { light, centre, arcsecondsPerPixel, fwhmPixels, random } = brush;
  const outer = Math.max((sizeArcminutes * 30) / arcsecondsPerPixel, fwhmPixels);
  const inner = outer * (0.5 + 0.15 * random.uniform());
  const axisRatio = 0.72 + 0.2 * random.uniform();
  const angle = 180 * random.uniform() * RADIANS_PER_DEGREE;
  const soft = fwhmPixels / 2;
  const hollow = HOLLOWNESS[id] ?? 0.75 + 0.25 * random.uniform();
  const depth = (radius: number): number => shellDepth(radius, inner, outer, hollow);
  const profile = (radius: number): number =>
    (depth(Math.max(0, radius - soft)) + 2 * depth(radius) + depth(radius + soft)) / 4;
  let whole = 0;
  for (let radius = 0.25; radius < outer + soft; radius += 0.5) whole += profile(radius) * Math.PI * radius;
  const scale = brush.electronsOf(magnitude) / (whole * axisRatio);

  addSurface(light, centre, outer + 2 * soft, (dx, dy) => {
    const along = dy * Math.cos(angle) - dx * Math.sin(angle);
    const across = (-dy * Math.sin(angle) - dx * Math.cos(angle)) / axisRatio;
    const radius = Math.hypot(along, across);
    // Dimmer at the ends of the long axis, brighter at its sides.
    const sides = 1 - 0.3 * Math.min(1, radius / inner) * Math.cos(2 * Math.atan2(across, along));
    return scale * profile(radius) * sides;
  });
  addStar(light, centre, brush.electronsOf(magnitude + CENTRAL_STAR), fwhmPixels);
}

/** How much of a hollow shell a line of sight passes through, squared because its gas is thickest inside. */
function shellDepth(radius: number, inner: number, outer: number, hollow: number): number {
  const through = Math.sqrt(Math.max(0, outer * outer - radius * radius));
  const empty = Math.sqrt(Math.max(0, inner * inner - radius * radius));
  return (through - hollow * empty) ** 2;
}

/**
 * A cloud of gas or dust: five octaves of smooth noise under a round envelope with a brighter heart. Its light adds
 * up to the magnitude within some tens of per cent.
 * @param filaments above 0: bright threads rather than patches, as in a supernova remnant
 */
export function drawCloud(brush: Brush, magnitude: number, sizeArcminutes: number, filaments: number): void {
  const { light, centre, arcsecondsPerPixel, random } = brush;
  const edge = (sizeArcminutes * 30) / arcsecondsPerPixel;
  const noise = cloudNoise(random);
  const mean = brush.electronsOf(magnitude) / (Math.PI * edge * edge * 0.33);
  addSurface(light, centre, edge, (dx, dy) => {
    const radius = Math.hypot(dx, dy) / edge;
    if (radius >= 1) return 0;
    const patch = noise((3 * dx) / edge, (3 * dy) / edge);
    const threads = (1 - Math.abs(2 * patch - 1)) ** 6;
    const texture = filaments * threads * 2 + (1 - filaments) * Math.max(0, 2.4 * patch - 0.7);
    const heart = (0.4 + 1.2 * patch) / (1 + (radius / 0.12) ** 2) ** 1.5;
    return mean * ((1 - radius * radius) ** 1.5 * texture + 1.5 * heart);
  });
}

/** Smooth noise from 0 to 1 around 0.5: value noise on a lattice, summed over octaves (Perlin 1985, SIGGRAPH). */
export function cloudNoise(random: Random): (x: number, y: number) => number {
  const lattice = Float32Array.from({ length: 4096 }, () => random.uniform());
  const corner = (x: number, y: number): number => lattice[(x & 63) | ((y & 63) << 6)] as number;
  const ease = (t: number): number => t * t * (3 - 2 * t);
  const layer = (x: number, y: number): number => {
    const column = Math.floor(x);
    const row = Math.floor(y);
    const u = ease(x - column);
    const v = ease(y - row);
    const low = corner(column, row) * (1 - u) + corner(column + 1, row) * u;
    const high = corner(column, row + 1) * (1 - u) + corner(column + 1, row + 1) * u;
    return low * (1 - v) + high * v;
  };
  return (x, y) => {
    let sum = 0;
    for (let octave = 0; octave < 5; octave++)
      sum += layer(x * 2 ** octave + 7 * octave, y * 2 ** octave) / 2 ** octave;
    return sum / 1.9375;
  };
}
