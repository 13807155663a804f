/** The Moon: its true phase, libration and lean, lit by the Sun, with invented craters. */
import { seededRandom } from "../../../base/random.js";
import { addSurface } from "../image.js";
import type { BodyView } from "./body-view.js";
import type { Brush } from "./brush.js";
import { dot, type SkyVector, towards } from "./disc.js";
import { between, moonMap } from "./moon-map.js";

/** Earthlight on the dark side, as a share of sunlight there (from memory). */
const EARTHSHINE = 1e-4;

/** Draws the Moon around the brush's centre; most cameras see a part of it only. */
export function drawMoon(brush: Brush, view: BodyView): void {
  const { light, centre, arcsecondsPerPixel } = brush;
  const radius = view.radiusArcseconds / arcsecondsPerPixel;
  const map = moonMap(seededRandom(1969));
  const pole = towards(view.poleRadians, view.facingLatitudeRadians);
  // Where the equator meets the meridian that faces us: what is left of "near" beside the pole.
  const level = Math.sqrt(Math.max(1e-12, 1 - pole.near * pole.near));
  const meridian: SkyVector = {
    east: (-pole.near * pole.east) / level,
    north: (-pole.near * pole.north) / level,
    near: (1 - pole.near * pole.near) / level,
  };
  // East, north and "near" are left-handed, as the sky is seen from inside: lunar east is to the sky's west.
  const lunarEast = cross(meridian, pole);
  const sun = towards(view.limbRadians, Math.PI / 2 - view.phaseRadians);
  const sunOnMap = { east: dot(sun, lunarEast), north: dot(sun, pole), near: dot(sun, meridian) };
  // The lit share of the disc carries all the light.
  const litShare = Math.max(0.01, (1 + Math.cos(view.phaseRadians)) / 2);
  const perPixel = brush.electronsOf(view.magnitude) / (Math.PI * radius * radius * litShare * 0.75);

  addSurface(light, centre, radius + 4, (dx, dy) => {
    const east = -dx / radius;
    const north = dy / radius;
    const square = east * east + north * north;
    if (square >= 1) return 0;
    const normal: SkyVector = { east, north, near: Math.sqrt(1 - square) };
    const up = dot(normal, pole);
    const right = dot(normal, lunarEast);
    const front = dot(normal, meridian);
    const latitude = (Math.asin(Math.max(-1, Math.min(1, up))) * 180) / Math.PI;
    const longitude = ((Math.atan2(right, front) + view.facingLongitudeRadians) * 180) / Math.PI;
    const read = between(latitude, longitude);
    const slope = { east: read(map.slopeEast), north: read(map.slopeNorth) };
    const lit = litBy(sunOnMap, { east: right, north: up, near: front }, slope);
    return perPixel * (read(map.albedo) * lit + EARTHSHINE);
  });
}

/** How well the ground faces the Sun; all vectors in the Moon's frame (lunar east, north, out of the facing point). */
function litBy(sun: SkyVector, normal: SkyVector, slope: { east: number; north: number }): number {
  const level = Math.max(0.05, Math.hypot(normal.east, normal.near));
  const eastward: SkyVector = { east: normal.near / level, north: 0, near: -normal.east / level };
  const northward = cross(normal, eastward);
  const flat = dot(sun, normal);
  if (flat <= -0.02) return 0;
  const tilted = flat - slope.east * dot(sun, eastward) - slope.north * dot(sun, northward);
  // Dust scatters light back, so that the full Moon hardly darkens to its edge (exponent from memory).
  return Math.max(0, tilted) ** 0.6;
}

function cross(a: SkyVector, b: SkyVector): SkyVector {
  return {
    east: a.north * b.near - a.near * b.north,
    north: a.near * b.east - a.east * b.near,
    near: a.east * b.north - a.north * b.east,
  };
}
