/** Observing windows against a reference that evaluates every limit on a grid with astropy. */
import { expect, test } from "vitest";
import { loadConfig } from "../../src/config/load.js";
import type { Observatory } from "../../src/observatory/observatory.js";
import { windowsOf } from "../../src/observatory/window.js";
import type { Target } from "../../src/sky/target.js";
import { bodyNamed, fixedAt, nightFrom } from "../sky/things.js";
import { reference, sites } from "./reference.js";

/** Asked: 3 s. */
const TOLERANCE_MS = 3_000;

const { observatory } = loadConfig("config/tern-hollow.yaml");

type Row = (typeof reference.windows)[number];

function targetOf([, , what, bright]: Row): Target {
  if (typeof what === "string") return bodyNamed(what);
  return { ...fixedAt(...what), type: bright ? "star" : "galaxy", magnitude: 1 };
}

function observatoryOf([site, , , , limits]: Row): Observatory {
  return { ...observatory, site: sites[site]!, limits: reference.limits[limits]! };
}

test("windows open and close within 3 s of the reference: masks with walls, Sun, Moon, hour angle, zenith hole", () => {
  for (const row of reference.windows) {
    const windows = windowsOf(targetOf(row), nightFrom(row[1]), observatoryOf(row));
    const edges = windows.flatMap(({ openUnixMs, closeUnixMs }) => [openUnixMs, closeUnixMs]);
    const label = JSON.stringify(row);
    expect(edges.length, label).toBe(row[5].length);
    edges.forEach((edge, index) => {
      expect(Math.abs(edge - row[5][index]!), label).toBeLessThan(TOLERANCE_MS);
    });
  }
});

test("the reference has nights without a window, with one and with several", () => {
  const counts = new Set(reference.windows.map(([, , , , , edges]) => edges.length / 2));
  expect([...counts].sort()).toEqual(expect.arrayContaining([0, 1, 2]));
});
