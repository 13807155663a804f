/** Star clusters: invented members whose light adds up to the listed magnitude. */
import type { Random } from "../../../base/random.js";
import { addStar, addSurface } from "../image.js";
import type { Brush } from "./brush.js";

const GLOBULAR_MEMBERS = 4_000;
/** A globular cluster's brightest giants are this much fainter than the whole (12.0 for M13's 5.8; from memory). */
const BRIGHTEST_GIANT = 6.2;
const GIANT_RANGE = 5.5;

/**
 * A globular cluster: resolved members in a Plummer (1911, MNRAS 71, 460) distribution over the smooth light
 * of the rest. Half of the light is taken to lie within a sixteenth of the listed diameter of the middle.
 */
export function drawGlobular(brush: Brush, magnitude: number, sizeArcminutes: number): void {
  const { light, centre, arcsecondsPerPixel, fwhmPixels, random } = brush;
  const edge = (sizeArcminutes * 30) / arcsecondsPerPixel;
  const core = edge / 8;
  const total = brush.electronsOf(magnitude);
  let resolved = 0;
  for (let member = 0; member < GLOBULAR_MEMBERS; member++) {
    // More faint than bright members: their number grows tenfold over 2.5 magnitudes.
    const fainter = GIANT_RANGE + 2.5 * Math.log10(Math.max(random.uniform(), 1e-2));
    const electrons = brush.electronsOf(magnitude + BRIGHTEST_GIANT + Math.max(0, fainter));
    const place = offset(random, plummerRadius(random, core));
    resolved += electrons;
    addStar(light, { x: centre.x + place.x, y: centre.y + place.y }, electrons, fwhmPixels);
  }
  const smooth = Math.max(0.15 * total, total - resolved) / (Math.PI * core * core);
  addSurface(light, centre, edge * 1.2, (dx, dy) => {
    const falling = 1 / (1 + (dx * dx + dy * dy) / (core * core));
    return smooth * falling * falling;
  });
}

/** An open cluster: a hundred members, most of the light in the brightest few. */
export function drawOpenCluster(brush: Brush, magnitude: number, sizeArcminutes: number): void {
  const { light, centre, arcsecondsPerPixel, fwhmPixels, random } = brush;
  const edge = (sizeArcminutes * 30) / arcsecondsPerPixel;
  const members = Array.from({ length: 110 }, () => ({
    share: 10 ** (-0.4 * 5 * Math.sqrt(random.uniform())),
    place: offset(random, Math.min(edge, plummerRadius(random, edge / 2))),
  }));
  const shares = members.reduce((sum, member) => sum + member.share, 0);
  const total = brush.electronsOf(magnitude);
  for (const { share, place } of members) {
    const where = { x: centre.x + place.x, y: centre.y + place.y };
    addStar(light, where, (total * share) / shares, fwhmPixels);
  }
}

/** Projected radius of a member, by inverting the Plummer profile's enclosed light r²/(r² + a²). */
function plummerRadius(random: Random, core: number): number {
  const enclosed = Math.min(0.985, random.uniform());
  return core * Math.sqrt(enclosed / (1 - enclosed));
}

function offset(random: Random, radius: number): { x: number; y: number } {
  const angle = 2 * Math.PI * random.uniform();
  return { x: radius * Math.cos(angle), y: radius * Math.sin(angle) };
}
