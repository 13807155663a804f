/** The catalogue's figures agree with two independent sources, or the disagreement is settled with a reason. */
import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
import { loadCatalogue } from "../../src/sky/load-catalogue.js";
import type { FixedTarget } from "../../src/sky/target.js";
import { brightParts } from "../../src/tools/catalogue/bright-parts.js";
import { catalogueText } from "../../src/tools/catalogue/catalogue.js";
import { readCelestial } from "../../src/tools/catalogue/celestial.js";
import {
  disagreements,
  MAGNITUDE_TOLERANCE,
  POSITION_TOLERANCE_ARCMINUTES,
  separationArcminutes,
} from "../../src/tools/catalogue/disagreements.js";
import { type DeepSkyObject, deepSkyObjects } from "../../src/tools/catalogue/objects.js";
import {
  isSecondSourceInstalled,
  readSecondSource,
  type SecondFigures,
} from "../../src/tools/catalogue/second-source.js";
import { settlements } from "../../src/tools/catalogue/settlements.js";

const catalogue = loadCatalogue();
const settled = (key: string, field: string) =>
  settlements.find((each) => each.key === key && each.field === field);
const listed = (object: DeepSkyObject) => catalogue.byId(object.id) as FixedTarget;
/** Read from the installed package, which `.ci/run` sees to. */
let second: ReadonlyMap<string, SecondFigures> = new Map();
let objects: DeepSkyObject[] = [];
beforeAll(() => {
  if (!isSecondSourceInstalled) return;
  objects = deepSkyObjects(readCelestial());
  second = readSecondSource(readCelestial());
});

describe.runIf(isSecondSourceInstalled)("every deep-sky object against its second source", () => {
  it("has one, for all 110 Messier, 109 Caldwell and further objects", () => {
    expect(objects.filter((object) => object.list === "messier")).toHaveLength(110);
    expect(objects.filter((object) => object.list === "caldwell")).toHaveLength(109);
    expect(objects.filter((object) => !second.has(object.key))).toEqual([]);
  });

  it("leaves no disagreement above 3′ or 0.5 mag, or of nature, unsettled", () => {
    const open = objects.flatMap((object) =>
      disagreements(object, second.get(object.key)!)
        .filter((field) => !settled(object.key, field))
        .map((field) => `${object.key} ${field}`),
    );
    expect(open).toEqual([]);
  });

  it("settles nothing that isn't in dispute, and gives a reason each time", () => {
    const disputes = new Set(
      objects.flatMap((object) =>
        disagreements(object, second.get(object.key)!).map((field) => `${object.key} ${field}`),
      ),
    );
    const idle = settlements.filter(
      (each) => each.field !== "size" && !disputes.has(`${each.key} ${each.field}`),
    );
    expect(idle).toEqual([]);
    expect(settlements.filter((each) => each.reason.length < 5)).toEqual([]);
    expect(new Set(settlements.map((each) => `${each.key} ${each.field}`)).size).toBe(settlements.length);
  });

  it("lists the settled value where there is one, else a value within both tolerances of both sources", () => {
    const astray = objects.filter((object) => {
      const other = second.get(object.key)!;
      const target = listed(object);
      const place = settled(object.key, "position")?.value.split(" ").map(Number);
      const goals = place ? [{ raDegrees: place[0]!, decDegrees: place[1]! }] : [object.first, other];
      const slack = place ? 0.01 : POSITION_TOLERANCE_ARCMINUTES;
      return goals.some((goal) => separationArcminutes(target, goal) > slack + 0.01);
    });
    expect(astray.map((object) => object.key)).toEqual([]);
    const dim = objects.filter((object) => {
      const value = brightParts.get(object.key)?.magnitude ?? settled(object.key, "magnitude")?.value;
      if (value !== undefined) return listed(object).magnitude !== Number(value);
      const figures = [object.first.magnitude, second.get(object.key)!.magnitude];
      const magnitude = listed(object).magnitude;
      if (figures.includes(null)) return magnitude !== null;
      return figures.some((figure) => Math.abs(figure! - magnitude!) > MAGNITUDE_TOLERANCE + 0.051);
    });
    expect(dim.map((object) => object.key)).toEqual([]);
  });

  it("has most positions within a tenth of an arc minute of the second source's", () => {
    const apart = objects
      .map((object) => separationArcminutes(listed(object), second.get(object.key)!))
      .sort((a, b) => a - b);
    expect(apart[Math.floor(apart.length / 2)]).toBeLessThan(0.1);
  });
});

describe.runIf(isSecondSourceInstalled)("a name that leads", () => {
  it("is one that the second source has for a Messier object too", () => {
    const plain = (name: string): string =>
      name.toLowerCase().replace(/\b(nebula|galaxy|cluster|globular)\b|'s?\b|[^a-z]/g, "");
    const rows = readFileSync("/usr/share/siril/catalogue/messier.txt", "utf8").split("\n");
    const named = new Map(rows.map((row) => [row.split(";")[0], plain(row.split(";")[6] ?? "")]));
    const alone = objects
      .filter(({ list, leads }) => list === "messier" && leads !== null)
      .filter(({ id, leads }) => !named.get(id)?.includes(plain(leads as string)));
    expect(alone.map(({ id, leads }) => `${id} ${leads}`)).toEqual([]);
  });
});

describe("the data file", () => {
  it.runIf(isSecondSourceInstalled)("is what the script makes of its sources", () => {
    const url = new URL("../../src/sky/data/catalogue.json", import.meta.url);
    expect(readFileSync(url, "utf8")).toBe(catalogueText());
  });

  it("states source, version and licence", () => {
    const url = new URL("../../src/sky/data/catalogue.json", import.meta.url);
    const { about } = JSON.parse(readFileSync(url, "utf8"));
    expect(about.source).toContain("d3-celestial 0.7.35");
    expect(about.licence).toContain("BSD-3-Clause");
  });
});
