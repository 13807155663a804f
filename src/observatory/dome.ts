/** Which way the dome's slit must face. */

import { DEGREES_PER_RADIAN, type Degrees } from "../base/units.js";
import type { Horizontal } from "./direction.js";
import type { Dome } from "./observatory.js";

/**
 * Azimuth, from north through east, of the point where the tube's line leaves the dome sphere: the
 * intersection of a ray with a sphere (elementary geometry), since the mount seldom stands at the centre.
 * The slit is always centred on that point; its width buys no tolerance here.
 * The configuration sees to it that the tube stays inside the dome wherever it points.
 * @param line unit vector along which the tube looks
 * @param tubeSide unit vector from the mount's axes towards the tube
 * @returns 0 (included) to 360 (excluded)
 */
export function slitAzimuthDegrees(dome: Dome, line: Horizontal, tubeSide: Horizontal): Degrees {
  const { mountOffsetMetres: mount, tubeOffsetMetres: tube } = dome;
  const north = mount.north + tube * tubeSide.north;
  const east = mount.east + tube * tubeSide.east;
  const up = mount.up + tube * tubeSide.up;
  const radius = dome.diameterMetres / 2;
  const along = north * line.north + east * line.east + up * line.up;
  const inside = radius * radius - (north * north + east * east + up * up);
  const distance = Math.sqrt(along * along + inside) - along;
  const azimuth = Math.atan2(east + distance * line.east, north + distance * line.north) * DEGREES_PER_RADIAN;
  if (azimuth >= 0) return azimuth;
  const turned = azimuth + 360;
  return turned < 360 ? turned : 0;
}

/** How far from the slit's middle its edge is, at the dome's centre: asin((width / 2) / (diameter / 2)). */
export function slitHalfWidthDegrees({ slitWidthMetres, diameterMetres }: Dome): Degrees {
  return Math.asin(Math.min(1, slitWidthMetres / diameterMetres)) * DEGREES_PER_RADIAN;
}
