/** From axis angles back to the sky. */
import { expect, test } from "vitest";
import { loadConfig } from "../../src/config/load.js";
import { aimAtPlace } from "../../src/observatory/aim.js";
import { directionTo } from "../../src/observatory/direction.js";
import type { Mount, Observatory } from "../../src/observatory/observatory.js";
import { looksAt, parkedPointing } from "../../src/observatory/pointing.js";

const { observatory } = loadConfig(new URL("../../config/tern-hollow.yaml", import.meta.url).pathname);
const KINDS: readonly Mount["kind"][] = ["equatorial-fork", "german-equatorial", "altazimuth"];

function withMount(kind: Mount["kind"], latitudeDegrees: number): Observatory {
  const { mount, site } = observatory;
  return { ...observatory, mount: { ...mount, kind } as Mount, site: { ...site, latitudeDegrees } };
}

test.each(KINDS)("what a %s is aimed at is where it looks, on both hemispheres", (kind) => {
  for (const latitude of [42.5, -33]) {
    for (const [hourAngleRadians, declinationRadians] of [
      [0.7, 0.4],
      [-1.1, -0.2],
      [0.01, (latitude * Math.PI) / 180],
    ] as const) {
      const place = { hourAngleRadians, declinationRadians };
      const changed = withMount(kind, latitude);
      const line = directionTo(place, (latitude * Math.PI) / 180);
      const looked = looksAt({ ...aimAtPlace(place, changed), filterSlot: 0, shutterOpen: true }, changed);
      const [h, a] = [looked.altitudeDegrees, looked.azimuthDegrees].map(
        (each) => (each * Math.PI) / 180,
      ) as [number, number];
      expect(Math.sin(h)).toBeCloseTo(line.up, 9);
      expect(Math.cos(h) * Math.cos(a)).toBeCloseTo(line.north, 9);
      expect(Math.cos(h) * Math.sin(a)).toBeCloseTo(line.east, 9);
    }
  }
});

test("parked, an equatorial tube looks at the pole", () => {
  for (const kind of ["equatorial-fork", "german-equatorial"] as const) {
    const { altitudeDegrees, azimuthDegrees } = looksAt(
      parkedPointing(withMount(kind, 42.5)),
      withMount(kind, 42.5),
    );
    expect(altitudeDegrees).toBeCloseTo(42.5, 9);
    expect(Math.min(azimuthDegrees, 360 - azimuthDegrees)).toBeCloseTo(0, 6);
  }
});
