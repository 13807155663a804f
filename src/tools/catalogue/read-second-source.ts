/** Reads second-source.json: an independent set of figures for each deep-sky object. */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { Degrees } from "../../base/units.js";

export interface SecondFigures {
  readonly key: string;
  readonly raDegrees: Degrees;
  readonly decDegrees: Degrees;
  readonly magnitude: number | null;
  readonly sizeArcminutes: number | null;
  /** "position", "magnitude" or both where these are from memory; else empty. */
  readonly remembered: string;
}

/** In the source folder, whether this runs from src or from dist. */
export const secondSourcePath = fileURLToPath(new URL("./reference/second-source.json", import.meta.url));

/** By key: "M13", "C14", "NGC2903". */
export function readSecondSource(): ReadonlyMap<string, SecondFigures> {
  const { rows } = JSON.parse(readFileSync(secondSourcePath, "utf8")) as {
    rows: [string, number, number, number | null, number | null, string][];
  };
  return new Map(
    rows.map(([key, raDegrees, decDegrees, magnitude, sizeArcminutes, remembered]) => [
      key,
      { key, raDegrees, decDegrees, magnitude, sizeArcminutes, remembered },
    ]),
  );
}
