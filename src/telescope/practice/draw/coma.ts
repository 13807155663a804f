/** A comet's head: light that falls off as one over the distance from the nucleus, as gas that streams away does. */
import { addSurface } from "../image.js";
import type { Brush } from "./brush.js";

/** Light spread as 1/ρ up to the edge holds the same in each ring (steady outflow; as A'Hearn et al. 1984, AJ 89, 579). */
export function drawComa(brush: Brush, magnitude: number, sizeArcminutes: number): void {
  const { light, centre, arcsecondsPerPixel, fwhmPixels } = brush;
  const edge = (sizeArcminutes * 30) / arcsecondsPerPixel;
  const perRing = brush.electronsOf(magnitude) / (2 * Math.PI * edge);
  addSurface(light, centre, edge, (dx, dy) => {
    const radius = Math.hypot(dx, dy, fwhmPixels / 2);
    return Math.max(0, perRing / radius - perRing / edge);
  });
}
