/** Where the machines stand before the night's first move. */
import type { Observatory, Pointing } from "./observatory.js";

/**
 * Parked: an equatorial tube at the pole (a German mount with its counterweight straight down), an
 * altazimuth one upright; slit to the north, shutter shut, filter wheel at its first slot.
 * Common practice, no source.
 */
export function parkedPointing(observatory: Observatory): Pointing {
  const { kind } = observatory.mount;
  const pole = observatory.site.latitudeDegrees < 0 ? -90 : 90;
  return {
    firstAxisDegrees: kind === "german-equatorial" ? 90 : 0,
    secondAxisDegrees: kind === "altazimuth" ? 90 : pole,
    flipped: false,
    domeAzimuthDegrees: 0,
    filterSlot: 0,
    shutterOpen: false,
  };
}
