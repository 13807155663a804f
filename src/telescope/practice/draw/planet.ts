/** A planet's disc with its phase, belts and rings; Jupiter's moons. */
import type { BodyTarget } from "../../../sky/target.js";
import { addStar } from "../image.js";
import { type BodyView, moonViews } from "./body-view.js";
import type { Brush } from "./brush.js";
import { addBlurred, addGlow, dot, type SkyVector, shadedPatch, towards } from "./disc.js";

/** Minnaert's exponent for a cloudy or dusty disc: how much it darkens to its edge (from memory). */
const LIMB_DARKENING = 0.85;

/** Rings in planetary radii and their brightness beside the ball: C, B and A ring (NASA's Saturn fact sheet; brightness from memory). */
const RINGS = [
  { from: 1.239, to: 1.527, brightness: 0.12 },
  { from: 1.527, to: 1.951, brightness: 0.95 },
  { from: 2.027, to: 2.269, brightness: 0.6 },
] as const;

/** Darker belts between two latitudes, degrees, by how much (from memory; festoons and spots are left out). */
const BELTS: Partial<Record<BodyTarget["body"], readonly { from: number; to: number; by: number }[]>> = {
  Jupiter: [
    { from: -90, to: -50, by: 0.25 },
    { from: -33, to: -28, by: 0.15 },
    { from: -20, to: -8, by: 0.38 },
    { from: 7, to: 18, by: 0.42 },
    { from: 26, to: 31, by: 0.2 },
    { from: 48, to: 90, by: 0.25 },
  ],
  Saturn: [
    { from: -30, to: -14, by: 0.18 },
    { from: 14, to: 30, by: 0.18 },
    { from: 60, to: 90, by: 0.25 },
  ],
};

/** Draws a planet at the brush's centre as it looks at `unixMs`. */
export function drawPlanet(brush: Brush, target: BodyTarget, view: BodyView, unixMs: number): void {
  const { light, centre, arcsecondsPerPixel, fwhmPixels } = brush;
  const radius = view.radiusArcseconds / arcsecondsPerPixel;
  const rings = target.body === "Saturn";
  const half = Math.ceil(radius * (rings ? 2.4 : 1) + 2 * fwhmPixels) + 1;
  const shade = ballShade(target.body, view, radius);
  const ring = rings ? ringShade(view, radius) : () => ({ brightness: 0, inFront: false });
  const electrons = brush.electronsOf(view.magnitude);
  const patch = shadedPatch(half, centre, electrons, (dx, dy) => {
    const { brightness, inFront } = ring(dx, dy);
    const ball = shade(dx, dy);
    return ball === null ? brightness : inFront && brightness > 0 ? brightness : ball;
  });
  addBlurred(light, centre, patch, fwhmPixels);
  addGlow(light, centre, electrons, Math.max(radius, fwhmPixels));
  for (const moon of moonViews(target.body, view, unixMs)) {
    const place = {
      x: centre.x - moon.eastArcseconds / arcsecondsPerPixel,
      y: centre.y + moon.northArcseconds / arcsecondsPerPixel,
    };
    addStar(light, place, brush.electronsOf(moon.magnitude), fwhmPixels);
  }
}

/** Brightness of the ball at a pixel offset; null beside it. */
function ballShade(
  body: BodyTarget["body"],
  view: BodyView,
  radius: number,
): (dx: number, dy: number) => number | null {
  const pole = towards(view.poleRadians, view.facingLatitudeRadians);
  const sun = towards(view.limbRadians, Math.PI / 2 - view.phaseRadians);
  const belts = BELTS[body] ?? [];
  const cosPole = Math.cos(view.poleRadians);
  const sinPole = Math.sin(view.poleRadians);
  return (dx, dy) => {
    // Stretched along the pole so that a flattened ball becomes round.
    const alongPole = (-dx * sinPole + dy * cosPole) / radius;
    const stretched = alongPole / view.polar;
    const beside = (-dx * cosPole - dy * sinPole) / radius;
    const square = stretched * stretched + beside * beside;
    // A soft edge one pixel wide keeps a disc of a few pixels round.
    const edge = (1 - Math.sqrt(square)) * radius + 0.5;
    if (edge <= 0) return null;
    const near = Math.sqrt(Math.max(0, 1 - square));
    const normal: SkyVector = {
      east: stretched * sinPole + beside * cosPole,
      north: stretched * cosPole - beside * sinPole,
      near,
    };
    const lit = Math.max(0, dot(normal, sun)) ** LIMB_DARKENING;
    const latitude = (Math.asin(Math.max(-1, Math.min(1, dot(normal, pole)))) * 180) / Math.PI;
    const belt = belts.find((each) => latitude >= each.from && latitude <= each.to);
    return lit * (1 - (belt?.by ?? 0)) * Math.min(1, edge);
  };
}

/** Brightness of the rings at a pixel offset, and whether that part passes in front of the ball. */
function ringShade(
  view: BodyView,
  radius: number,
): (dx: number, dy: number) => { brightness: number; inFront: boolean } {
  const open = Math.max(0.01, Math.abs(Math.sin(view.facingLatitudeRadians)));
  const cosPole = Math.cos(view.poleRadians);
  const sinPole = Math.sin(view.poleRadians);
  return (dx, dy) => {
    const alongPole = (-dx * sinPole + dy * cosPole) / radius;
    const beside = (-dx * cosPole - dy * sinPole) / radius;
    const distance = Math.hypot(beside, alongPole / open);
    const ring = RINGS.find((each) => distance >= each.from && distance < each.to);
    const inFront = alongPole * view.facingLatitudeRadians < 0;
    return { brightness: ring?.brightness ?? 0, inFront };
  };
}
