/** Where an extended target's light is: its heart, its outskirts, the stars in it. */
import type { FixedTarget, ObjectType } from "../../sky/target.js";

/** Magnitudes per square arc second, of the light that `magnitude` counts. */
export interface SurfaceBrightness {
  readonly core: number;
  readonly outskirts: number;
}

/**
 * A galaxy as a disc with a bulge. The size in catalogues reaches to the isophote of 25 B magnitudes (de Vaucouleurs et al.
 * 1991, RC3), 3.2 scale lengths from the middle of a disc of ordinary brightness (Freeman 1970, ApJ 160, 811).
 */
export const GALAXY = { scaleLengths: 3.2, bulgeShare: 0.2 } as const;
/** That isophote in V, for an ordinary B − V of 0.8. */
const GALAXY_EDGE = 24.2;
/** Half of a globular cluster's light lies within a sixteenth of its listed diameter of the middle (half-light radii of Harris 1996, AJ 112, 1487, beside listed sizes; rounded, from memory). */
export const GLOBULAR_HALF_LIGHT = 1 / 16;

/** The part of an exponential disc's light within one scale length, and nearly all of the bulge. */
const GALAXY_CORE_LIGHT = (1 - GALAXY.bulgeShare) * (1 - 2 / Math.E) + GALAXY.bulgeShare * 0.9;

/** How many times the mean over the listed ellipse the heart's surface is, by nature; 1 where the light is even. */
const CONCENTRATION: Partial<Record<ObjectType, number>> = {
  galaxy: GALAXY_CORE_LIGHT * GALAXY.scaleLengths ** 2,
  "globular cluster": 1 / (2 * (2 * GLOBULAR_HALF_LIGHT) ** 2),
  // The heart that practice frames draw (common practice, no source).
  "emission nebula": 6,
  "reflection nebula": 6,
  "cluster with nebula": 6,
};

/** The ellipse that holds the light, square arc seconds; null for points of light. */
function areaSquareArcseconds({
  sizeArcminutes,
  shorterArcminutes,
  brightArcminutes,
}: FixedTarget): number | null {
  if (sizeArcminutes === null) return null;
  const [long, short] = brightArcminutes ?? [sizeArcminutes, shorterArcminutes ?? sizeArcminutes];
  return (Math.PI / 4) * long * short * 3600;
}

/** The surface of something extended; null for points of light and where no magnitude is listed. */
export function surfaceOf(target: FixedTarget): SurfaceBrightness | null {
  const area = areaSquareArcseconds(target);
  if (area === null || target.magnitude === null) return null;
  const mean = target.magnitude + 2.5 * Math.log10(area);
  const core = mean - 2.5 * Math.log10(CONCENTRATION[target.type] ?? 1);
  return { core, outskirts: target.type === "galaxy" ? Math.max(core, GALAXY_EDGE) : mean };
}

/**
 * An open cluster's stars, in magnitudes below the whole: the brightest and a middling one of some hundred members whose
 * light is spread as practice frames spread it.
 */
export const CLUSTER = { brightest: 2.5, middling: 6 } as const;

/** Stars within a target that burn out long before it does. */
export interface BrightStar {
  readonly name: string;
  readonly magnitude: number;
}

/** V magnitudes (Hipparcos Catalogue, ESA 1997). */
const BRIGHT_STARS: Readonly<Record<string, BrightStar>> = {
  M42: { name: "the Trapezium", magnitude: 5.1 },
  M43: { name: "its central star", magnitude: 6.9 },
  M45: { name: "Alcyone", magnitude: 2.9 },
  M8: { name: "9 Sagittarii", magnitude: 5.9 },
  NGC2024: { name: "Alnitak beside it", magnitude: 1.7 },
  NGC2264: { name: "15 Monocerotis", magnitude: 4.7 },
  IC405: { name: "AE Aurigae", magnitude: 6.0 },
  NGC7023: { name: "HD 200775", magnitude: 7.4 },
};

/** The brightest star in the picture of an extended target; null where none is known. */
export function brightStarIn({ id, type, magnitude }: FixedTarget): BrightStar | null {
  const known = BRIGHT_STARS[id];
  if (known) return known;
  if (type !== "open cluster" || magnitude === null) return null;
  return { name: "its brightest star", magnitude: magnitude + CLUSTER.brightest };
}
