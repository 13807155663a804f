/**
 * One group of figures of one build, measured in a process of its own:
 * `node measure-once.js FOLDER GROUP` prints the rows as JSON. The folder holds a built checkout.
 */
import { existsSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Measurement } from "./row.js";

/** Where builds have kept their measurements, the present place first. */
const PLACES = ["dist/tools/bench", "dist/bench"];

const [folder = "", group = ""] = process.argv.slice(2);
const file = PLACES.map((place) => join(folder, place, `${group}.js`)).find((path) => existsSync(path));
let rows: unknown = [];
if (file !== undefined) {
  const measurement: Record<string, Measurement> = await import(pathToFileURL(file).href);
  const name = group.replace(/-(.)/g, (_, letter: string) => letter.toUpperCase());
  rows = await measurement[name]?.();
}
process.stdout.write(`${JSON.stringify(rows ?? [])}\n`);
process.exit();
