/** Seeded nights for tests: an observatory, scattered targets and a queue of any size. */
import { seededRandom } from "../../src/base/random.js";
import { HOUR } from "../../src/base/units.js";
import { loadConfig } from "../../src/config/load.js";
import type { NightInput } from "../../src/forecast/night-run.js";
import { CONFIGURED_OVERHEADS, type Observatory } from "../../src/observatory/observatory.js";
import { parkedPointing } from "../../src/observatory/pointing.js";
import type { Request, RuleName } from "../../src/queue/request.js";
import { nightNamed } from "../../src/sky/night.js";
import type { BodyTarget, FixedTarget, Target } from "../../src/sky/target.js";

export const ternHollow: Observatory = loadConfig(
  new URL("../../config/tern-hollow.yaml", import.meta.url).pathname,
).observatory;

/** The same machines elsewhere. */
export function observatoryAt(
  latitudeDegrees: number,
  longitudeDegrees: number,
  timeZone: string,
): Observatory {
  const site = { ...ternHollow.site, latitudeDegrees, longitudeDegrees, timeZone };
  return { ...ternHollow, site, limits: { ...ternHollow.limits, horizonMask: [] } };
}

export function fixedTarget(id: string, raDegrees: number, decDegrees: number): FixedTarget {
  return {
    kind: "fixed",
    id,
    name: id,
    type: "galaxy",
    raDegrees,
    decDegrees,
    magnitude: 8,
    sizeArcminutes: null,
  };
}

export const bodies: readonly BodyTarget[] = (["Jupiter", "Saturn", "Moon"] as const).map((body) => ({
  kind: "body",
  id: body.toLowerCase(),
  name: body,
  type: body === "Moon" ? "moon" : "planet",
  body,
}));

/** A waiting request; whatever is not said is ordinary. */
export function request(number: number, target: Target, changes: Partial<Request> = {}): Request {
  return {
    number,
    target,
    filter: "V",
    exposureSeconds: 60,
    frames: 1,
    notBeforeUnixMs: null,
    note: null,
    owner: "terminal:mira",
    sharers: [],
    classId: "evening-2",
    group: null,
    tier: 1,
    via: { surface: "terminal", channel: "class" },
    askedUnixMs: number,
    state: "waiting",
    takenUnixMs: null,
    endedUnixMs: null,
    framesDone: 0,
    reason: null,
    ...changes,
  };
}

/** Ready for anything: nothing waits, the telescope is parked. */
export function emptyNight(date: string, observatory: Observatory = ternHollow): NightInput {
  const night = nightNamed(date, observatory.site.timeZone);
  return {
    nowUnixMs: night.startUnixMs,
    untilUnixMs: night.endUnixMs,
    observatory,
    overheads: CONFIGURED_OVERHEADS,
    rule: "highest-first",
    waiting: [],
    current: null,
    pointing: parkedPointing(observatory),
    holdUntilUnixMs: null,
    takenTonight: new Map(),
  };
}

export interface NightWish {
  readonly seed: number;
  readonly date: string;
  readonly requests: number;
  readonly targets: number;
  readonly rule?: RuleName;
  readonly observatory?: Observatory;
  /** Longest exposure, seconds; each request draws its own below it. */
  readonly longestSeconds?: number;
  readonly tiers?: number;
}

/** A queue of random requests for random targets, all asked in the afternoon. */
export function randomNight(wish: NightWish): NightInput {
  const { uniform } = seededRandom(wish.seed);
  const pick = <Item>(items: readonly Item[]): Item => items[Math.floor(uniform() * items.length)] as Item;
  const observatory = wish.observatory ?? ternHollow;
  const night = emptyNight(wish.date, observatory);
  const targets = Array.from({ length: wish.targets }, (_, index) =>
    randomTarget(index, uniform, observatory),
  );
  const filters = observatory.camera.filters.map((filter) => filter.name);
  const exposures = [5, 10, 30, 60, 120, 300].filter((seconds) => seconds <= (wish.longestSeconds ?? 300));
  const waiting = Array.from({ length: wish.requests }, (_, index) =>
    request(index + 1, pick(targets), {
      filter: pick(filters),
      exposureSeconds: pick(exposures),
      frames: 1 + Math.floor(uniform() * 3),
      owner: `terminal:student-${Math.floor(uniform() * 24)}`,
      tier: wish.tiers === undefined ? 1 : Math.floor(uniform() * wish.tiers),
      askedUnixMs: night.nowUnixMs + index * 1_000,
    }),
  );
  return { ...night, nowUnixMs: night.nowUnixMs + 4 * HOUR, rule: wish.rule ?? "highest-first", waiting };
}

/** Anywhere in the part of the sky that rises high enough at the site. */
function randomTarget(index: number, uniform: () => number, { site }: Observatory): Target {
  const lowest = Math.max(-1, Math.sin(((site.latitudeDegrees - 60) * Math.PI) / 180));
  const highest = Math.min(1, Math.sin(((site.latitudeDegrees + 60) * Math.PI) / 180));
  const south = site.latitudeDegrees - 60 < -90 ? -1 : lowest;
  const north = site.latitudeDegrees + 60 > 90 ? 1 : highest;
  const sine = south + (north - south) * uniform();
  return fixedTarget(`T${index}`, uniform() * 360, (Math.asin(sine) * 180) / Math.PI);
}
