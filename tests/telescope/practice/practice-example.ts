/** The example observatory with a small camera, and exposures on it. */
import type { Config } from "../../../src/config/config.js";
import { loadConfig } from "../../../src/config/load.js";
import type { Equipment } from "../../../src/journal/events.js";
import type { ListedStar, StarList } from "../../../src/sky/load-stars.js";
import type { FixedTarget, Target } from "../../../src/sky/target.js";
import type { Exposure } from "../../../src/telescope/frames/exposure.js";
import type { Simulation } from "../../../src/telescope/practice/frame.js";

export const config = loadConfig("config/tern-hollow.yaml");

/** The example camera, cut to `side` pixels. */
export function smallCamera(side: number): Config["observatory"] {
  const { observatory } = config;
  return { ...observatory, camera: { ...observatory.camera, widthPixels: side, heightPixels: side } };
}

export const allReady: Equipment = { telescope: "ready", dome: "open", camera: "fitted", sky: "clear" };

/** A June night at Tern Hollow with no Moon: M13 stands near the zenith. */
export const JUNE_NIGHT = Date.parse("2026-06-15T05:00:00Z");
/** The same day, the Sun 69° high. */
export const JUNE_DAY = Date.parse("2026-06-15T18:00:00Z");

export const m13: FixedTarget = {
  kind: "fixed",
  id: "M13",
  name: "Hercules Cluster (M13)",
  type: "globular cluster",
  raDegrees: 250.4235,
  decDegrees: 36.4613,
  magnitude: 5.8,
  sizeArcminutes: 20,
};

/** An empty place near M13. */
export const emptyPlace: FixedTarget = {
  ...m13,
  id: "J164000+380000",
  name: "16 40 00 +38 00 00",
  type: "position",
  raDegrees: 250,
  decDegrees: 38,
  magnitude: null,
  sizeArcminutes: null,
};

export const jupiter: Target = {
  kind: "body",
  id: "jupiter",
  name: "Jupiter",
  type: "planet",
  body: "Jupiter",
};

/** One minute through V in the June night, unless changed. */
export function exposureOf(change: Partial<Exposure & Simulation> = {}): Exposure & Simulation {
  return {
    target: emptyPlace,
    filter: "V",
    exposureSeconds: 60,
    startUnixMs: JUNE_NIGHT,
    observatory: smallCamera(512),
    equipment: allReady,
    cloudMagnitudes: 0,
    seed: 7,
    ...change,
  };
}

/** A star list that holds just these; it claims to be complete, so that none are invented. */
export function onlyStars(stars: readonly ListedStar[]): StarList {
  return {
    source: "made up for this test",
    completeToMagnitude: 7,
    completeTo: () => 30,
    near: () => [...stars],
  };
}
