/** The first source: the tables of d3-celestial, as its package holds them. */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { Degrees } from "../../base/units.js";
import type { ObjectType } from "../../sky/target.js";

/** What a source says of one object; null where it says nothing. */
export interface Figures {
  readonly raDegrees: Degrees;
  readonly decDegrees: Degrees;
  readonly magnitude: number | null;
  readonly sizeArcminutes: number | null;
  /** Shorter over longer axis; 1 where only one is given. */
  readonly axisRatio: number;
  readonly type: ObjectType | null;
}

/** A star's row with its letters and numbers. */
export interface CelestialStar {
  readonly hipparcos: number;
  readonly raDegrees: Degrees;
  readonly decDegrees: Degrees;
  readonly magnitude: number;
  /** "α", "β1"; empty where it has none. */
  readonly bayer: string;
  /** Flamsteed's number, "61". */
  readonly flamsteed: string;
  /** Variable star letters, "RR". */
  readonly variable: string;
  /** "Lyr". */
  readonly constellation: string;
}

export interface Celestial {
  readonly version: string;
  readonly licence: string;
  /** By its own key with a space: "NGC 7000", "C 41"; null when it has no such object. */
  object(key: string): Figures | null;
  /** Its Messier table, 1 to 110, with the designation it gives there ("NGC 6205"). */
  messier(number: number): Figures & { readonly designation: string };
  /** All of the Hipparcos Catalogue, in order of number. */
  readonly stars: readonly CelestialStar[];
}

interface Feature {
  readonly id: string | number;
  readonly properties: Readonly<Record<string, string | number>>;
  readonly geometry: { readonly coordinates: readonly [number, number] };
}

/** Its type codes in the field's words. "bn" (bright nebula) and "sfr" (star-forming region) don't say which light. */
const TYPES: Readonly<Record<string, ObjectType>> = {
  ...{ g: "galaxy", s: "galaxy", e: "galaxy", i: "galaxy", s0: "galaxy", sd: "galaxy", gg: "galaxy" },
  ...{ oc: "open cluster", gc: "globular cluster", pn: "planetary nebula", snr: "supernova remnant" },
  ...{ bn: "emission nebula", en: "emission nebula", sfr: "emission nebula", rn: "reflection nebula" },
  ...{ dn: "dark nebula", pos: "asterism" },
};

/** Reads the package's tables. @throws {Error} when the package is not installed */
export function readCelestial(): Celestial {
  const require = createRequire(import.meta.url);
  const json = (path: string) => JSON.parse(readFileSync(require.resolve(`d3-celestial/${path}`), "utf8"));
  const about = json("package.json") as { version: string; license: string };
  const objects = byId(json("data/dsos.20.json").features);
  const messier = byId(json("data/messier.json").features);
  return {
    version: about.version,
    licence: about.license,
    object: (key) => (objects.has(key) ? figuresOf(objects.get(key)!) : null),
    messier: (number) => {
      const feature = messier.get(`M${number}`)!;
      return { ...figuresOf(feature), designation: String(feature.properties.desig) };
    },
    stars: starsOf(json("data/stars.14.json").features, json("data/starnames.json")),
  };
}

function byId(features: readonly Feature[]): ReadonlyMap<string, Feature> {
  return new Map(features.map((feature) => [String(feature.id), feature]));
}

function figuresOf(feature: Feature): Figures {
  const [longitude, latitude] = feature.geometry.coordinates;
  const { mag, dim, type } = feature.properties;
  const dark = type === "dn";
  return {
    raDegrees: (longitude + 360) % 360,
    decDegrees: latitude,
    // 999 stands for none; a dark nebula's figure is its opacity class.
    magnitude: mag === "" || Number(mag) >= 99 || dark ? null : Number(mag),
    ...axes(String(dim)),
    type: TYPES[String(type)] ?? null,
  };
}

/** From "66x60", in either order. */
function axes(dimensions: string): Pick<Figures, "sizeArcminutes" | "axisRatio"> {
  const sizes = dimensions
    .split("x")
    .map(Number)
    .filter((size) => size > 0)
    .sort((a, b) => b - a);
  const [longest = null, shorter = longest] = sizes;
  if (longest === null) return { sizeArcminutes: null, axisRatio: 1 };
  return { sizeArcminutes: longest, axisRatio: (shorter as number) / longest };
}

type StarNames = Readonly<Record<string, { bayer?: string; flam?: string; var?: string; c?: string }>>;

function starsOf(features: readonly Feature[], names: StarNames): CelestialStar[] {
  return features.map((feature) => {
    const name = names[String(feature.id)];
    return {
      hipparcos: Number(feature.id),
      raDegrees: (feature.geometry.coordinates[0] + 360) % 360,
      decDegrees: feature.geometry.coordinates[1],
      magnitude: Number(feature.properties.mag),
      bayer: name?.bayer ?? "",
      flamsteed: name?.flam ?? "",
      variable: name?.var ?? "",
      constellation: name?.c ?? "",
    };
  });
}
