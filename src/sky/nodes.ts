/** A moving body's geocentric places at a few instants of a night, and what lies between them. */
import { HOUR, type Millis, type UtcMillis } from "../base/units.js";
import { geocentricOfDate, type MovingBody } from "./ephemeris.js";
import { remembering } from "./memo.js";
import type { Night } from "./night.js";
import type { Vector3 } from "./vector.js";

/** Equally spaced places, astronomical units, true equator and equinox of date. */
export interface Nodes {
  readonly firstUnixMs: UtcMillis;
  readonly stepMs: Millis;
  readonly places: readonly Vector3[];
}

/** Cubic interpolation over these steps stays within 0.05″ for the Moon and 0.01″ for the rest. */
const MOON_STEP: Millis = 6 * HOUR;
const PLANET_STEP: Millis = 12 * HOUR;

const nodesByKey = remembering(128, (key: string): Nodes => {
  const [body, start, end] = JSON.parse(key) as [MovingBody, UtcMillis, UtcMillis];
  const stepMs = body === "Moon" ? MOON_STEP : PLANET_STEP;
  const firstUnixMs = start - stepMs;
  const count = Math.ceil((end - start) / stepMs) + 3;
  const places = Array.from({ length: count }, (_, index) =>
    geocentricOfDate(body, firstUnixMs + index * stepMs),
  );
  return { firstUnixMs, stepMs, places };
});

/** The nodes of a night, shared by everyone who asks. */
export function nodesOf(body: MovingBody, night: Night): Nodes {
  return nodesByKey(JSON.stringify([body, night.startUnixMs, night.endUnixMs]));
}

/** The geocentric place at an instant: Lagrange's cubic through the four nearest nodes. */
export function placeBetween({ firstUnixMs, stepMs, places }: Nodes, unixMs: UtcMillis): Vector3 {
  const steps = (unixMs - firstUnixMs) / stepMs;
  const index = Math.min(Math.max(Math.floor(steps), 1), places.length - 3);
  const s = steps - index;
  const weightBefore = (-s * (s - 1) * (s - 2)) / 6;
  const weightHere = ((s + 1) * (s - 1) * (s - 2)) / 2;
  const weightNext = (-(s + 1) * s * (s - 2)) / 2;
  const weightAfter = ((s + 1) * s * (s - 1)) / 6;
  const before = places[index - 1]!;
  const here = places[index]!;
  const next = places[index + 1]!;
  const after = places[index + 2]!;
  return {
    x: weightBefore * before.x + weightHere * here.x + weightNext * next.x + weightAfter * after.x,
    y: weightBefore * before.y + weightHere * here.y + weightNext * next.y + weightAfter * after.y,
    z: weightBefore * before.z + weightHere * here.z + weightNext * next.z + weightAfter * after.z,
  };
}
