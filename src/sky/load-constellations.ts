/** The 88 constellations: abbreviation, name and genitive of each. */
import { readFileSync } from "node:fs";

type Forms = readonly [abbreviation: string, name: string, genitive: string];

const file = new URL("./data/constellations.json", import.meta.url);

export const CONSTELLATIONS = (JSON.parse(readFileSync(file, "utf8")) as { rows: readonly Forms[] }).rows;
