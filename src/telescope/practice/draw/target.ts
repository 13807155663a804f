/** Draws whatever was asked for, by its type. */

import type { ListedStar } from "../../../sky/load-stars.js";
import { orbitMagnitude } from "../../../sky/small-bodies/brightness.js";
import type { FixedTarget, ObjectType, SmallBodyTarget, Target } from "../../../sky/target.js";
import { addStar } from "../image.js";
import type { BodyView } from "./body-view.js";
import type { Brush } from "./brush.js";
import { drawGlobular, drawOpenCluster } from "./clusters.js";
import { drawComa } from "./coma.js";
import { drawGalaxy } from "./galaxy.js";
import { drawMoon } from "./moon.js";
import { drawCloud, drawPlanetaryNebula } from "./nebulae.js";
import { drawPlanet } from "./planet.js";

/** Where the list names no magnitude or size: those of a faint, small object. */
const UNLISTED = { magnitude: 13, sizeArcminutes: 2 };
/** A listed star is the target itself when it stands this near, arc seconds. */
const SAME_STAR = 20;

/**
 * @param view how a body looks; null for a fixed target
 * @param listed the real stars of the field, already drawn
 */
export function drawTarget(
  brush: Brush,
  target: Target,
  view: BodyView | null,
  unixMs: number,
  listed: readonly ListedStar[],
): void {
  if (target.kind === "fixed") drawFixed(brush, target, listed);
  else if (target.kind === "orbit") drawSmallBody(brush, target, unixMs);
  else if (view !== null && target.body === "Moon") drawMoon(brush, view);
  else if (view !== null) drawPlanet(brush, target, view, unixMs);
}

/** The types that have light of their own; a star is looked up in the list, and a dark place shows its field. */
const DRAWINGS: Partial<Record<ObjectType, (brush: Brush, look: Look) => void>> = {
  galaxy: (brush, { id, magnitude, size, shorter }) => drawGalaxy(brush, id, magnitude, [size, shorter]),
  "globular cluster": (brush, { magnitude, size }) => drawGlobular(brush, magnitude, size),
  "open cluster": (brush, { magnitude, size }) => drawOpenCluster(brush, magnitude, size),
  "planetary nebula": (brush, { id, magnitude, size }) =>
    drawPlanetaryNebula(gas(brush), id, magnitude, size),
  "emission nebula": (brush, { magnitude, size }) => drawCloud(gas(brush), magnitude, size, 0.15),
  "reflection nebula": (brush, { magnitude, size }) => drawCloud(brush, magnitude, size, 0.15),
  "supernova remnant": (brush, { magnitude, size }) => drawCloud(gas(brush), magnitude, size, 0.8),
  "cluster with nebula": (brush, { magnitude, size }) => {
    drawOpenCluster(brush, magnitude, size);
    drawCloud(gas(brush), magnitude + 1, size, 0.15);
  },
};

/** The same brush, for things that shine in the lines of hydrogen. */
function gas(brush: Brush): Brush {
  return { ...brush, electronsOf: (magnitude) => brush.gasGain * brush.electronsOf(magnitude) };
}

const STARS: readonly ObjectType[] = ["star", "double star", "variable star", "quasar"];

interface Look {
  readonly id: string;
  readonly magnitude: number;
  /** Of the part that holds the light, arc minutes. */
  readonly size: number;
  readonly shorter: number;
}

function drawFixed(brush: Brush, target: FixedTarget, listed: readonly ListedStar[]): void {
  if (STARS.includes(target.type)) drawStar(brush, target, listed);
  DRAWINGS[target.type]?.(brush, {
    id: target.id,
    magnitude: target.magnitude ?? UNLISTED.magnitude,
    ...axesOf(target),
  });
}

function axesOf(target: FixedTarget): Pick<Look, "size" | "shorter"> {
  const [size, shorter] = target.brightArcminutes ?? [
    target.sizeArcminutes ?? UNLISTED.sizeArcminutes,
    target.shorterArcminutes,
  ];
  return { size, shorter: shorter ?? size };
}

/** How wide a comet's coma is drawn, arc minutes: nobody foretells it. */
const COMA = 2;

/** A minor planet is a point; a comet a point within its coma. */
function drawSmallBody(brush: Brush, { type, orbit }: SmallBodyTarget, unixMs: number): void {
  const magnitude = orbitMagnitude(orbit, unixMs) ?? UNLISTED.magnitude;
  if (type === "comet") drawComa(brush, magnitude, COMA);
  else addStar(brush.light, brush.centre, brush.electronsOf(magnitude), brush.fwhmPixels);
}

/** A star that the list lacks. */
function drawStar(brush: Brush, target: FixedTarget, listed: readonly ListedStar[]): void {
  const cosine = Math.cos((target.decDegrees * Math.PI) / 180);
  const drawn = listed.some((star) => {
    const east = (star.raDegrees - target.raDegrees) * cosine;
    return Math.hypot(east, star.decDegrees - target.decDegrees) * 3600 < SAME_STAR;
  });
  if (drawn || target.magnitude === null) return;
  addStar(brush.light, brush.centre, brush.electronsOf(target.magnitude), brush.fwhmPixels);
}
