/** What is known of a star beyond its place: pair, variable, host of a planet. */
import { say } from "../../base/phrase.js";
import type { UtcMillis } from "../../base/units.js";
import { duration } from "../../notices/words/amounts.js";
import { timeFrom } from "../../notices/words/times.js";
import type { Camera } from "../../observatory/observatory.js";
import { pixelScaleArcseconds } from "../../observatory/photometry.js";
import { type Pair, pairOf } from "../../sky/facts/pairs.js";
import { nextTransit, transitingPlanetOf } from "../../sky/facts/transits.js";
import { nextEpoch, variableOf } from "../../sky/facts/variables.js";
import { moonsOf, type PlanetMoon } from "../../sky/planet-moons.js";
import type { Target } from "../../sky/target.js";
import type { Field } from "../reply.js";

/** Its fields on the target's card; none for most targets. */
export function factFields({ id }: Target, from: UtcMillis, camera: Camera): Field[] {
  const pair = pairOf(id);
  return [
    ...(pair === null ? [] : [{ name: "Pair", value: [pairWords(pair, camera)] }]),
    ...variableField(id, from),
    ...transitField(id, from),
  ];
}

function pairWords({ separationArcseconds: apart, magnitudes }: Pair, camera: Camera): string {
  const [first, second] = magnitudes.map((each) => each.toFixed(1));
  const pixel = pixelScaleArcseconds(camera).toFixed(2);
  return `${apart}″ apart, magnitudes ${first} and ${second}; your pixels are ${pixel}″ and the seeing ${camera.seeingArcseconds}″: ${verdict(apart, camera)}`;
}

/** Two images part where they stand a full width at half maximum from one another (common practice, no source). */
function verdict(apart: number, { seeingArcseconds }: Camera): string {
  if (apart < seeingArcseconds) return "they run into one";
  return apart < 2 * seeingArcseconds ? "they touch" : "they stand clear of one another";
}

function variableField(id: string, from: UtcMillis): Field[] {
  const variable = variableOf(id);
  if (variable === null) return [];
  const { kind, brightest, faintest, periodDays, epoch } = variable;
  const period = periodDays === null ? "" : ` in ${days(periodDays)}`;
  const next = nextEpoch(variable, from);
  const told = next === null || epoch === null ? [] : say`; next ${epoch.of} about ${timeFrom(next, from)}`;
  return [
    {
      name: "Variable",
      value: say`${kind}, magnitude ${brightest.toFixed(1)} to ${faintest.toFixed(1)}${period}${told}`,
    },
  ];
}

function days(count: number): string {
  return count < 1
    ? `${(count * 24).toFixed(1)} hours`
    : `${count < 20 ? count.toFixed(2) : Math.round(count)} days`;
}

function transitField(id: string, from: UtcMillis): Field[] {
  const planet = transitingPlanetOf(id);
  if (planet === null) return [];
  const next = nextTransit(planet, from);
  const hides = `${planet.planet} hides ${planet.depthPercent} % of its light for ${duration(planet.lastsMs)}`;
  const when =
    next === null
      ? ["; its period changes, so look up when"]
      : say`; the middle of the next transit is about ${timeFrom(next, from)}, give or take some minutes`;
  return [{ name: "Planet", value: [hides, ...when] }];
}

/** Where a planet's great moons stand at an instant, nearest first. */
export function moonsField(target: Target, unixMs: UtcMillis): Field[] {
  const moons = target.kind === "body" ? moonsOf(target.body, unixMs) : [];
  if (moons.length === 0) return [];
  const placed = moons
    .map((moon) => ({ moon, apart: Math.hypot(moon.eastArcseconds, moon.northArcseconds) }))
    .sort((a, b) => a.apart - b.apart)
    .map(
      ({ moon, apart }) =>
        `${moon.name} ${apart < 60 ? `${apart.toFixed(0)}″` : `${(apart / 60).toFixed(1)}′`} ${sideOf(moon)}`,
    );
  return [{ name: "Moons now", value: say`${placed.join(", ")}` }];
}

function sideOf({ eastArcseconds: east, northArcseconds: north }: PlanetMoon): string {
  if (Math.abs(north) > 2 * Math.abs(east)) return north > 0 ? "north" : "south";
  return east > 0 ? "east" : "west";
}
