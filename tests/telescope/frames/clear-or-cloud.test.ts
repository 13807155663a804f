/** A clear sky is never called cloud, whatever is asked for; a clouded one is, where a clear one would have shown enough. */
import { describe, expect, test } from "vitest";
import { seededRandom } from "../../../src/base/random.js";
import { DAY } from "../../../src/base/units.js";
import type { Verdict } from "../../../src/journal/events.js";
import { loadCatalogue } from "../../../src/sky/load-catalogue.js";
import { loadStars } from "../../../src/sky/load-stars.js";
import type { FixedTarget } from "../../../src/sky/target.js";
import { judge } from "../../../src/telescope/frames/keep-frame.js";
import { THICK_CLOUD } from "../../../src/telescope/practice/cloud.js";
import { simulate } from "../../../src/telescope/practice/frame.js";
import { config, exposureOf, smallCamera } from "../practice/practice-example.js";

const stars = loadStars();
/** A quarter of the camera: fewer stars to go by, which is the harder case, and a quarter of the time. */
const observatory = smallCamera(1024);
const catalogue = loadCatalogue();

/** Around local midnight of the night on which it stands in the south then. */
function midnightOf({ raDegrees }: FixedTarget): number {
  // Right ascension 0 h is in the south at midnight about 22 September; 06:42 UTC at this longitude.
  return Date.UTC(2026, 8, 22, 6, 42) + Math.round((raDegrees / 360) * 365.25) * DAY;
}

function judged(
  target: FixedTarget,
  filter: string,
  exposureSeconds: number,
  cloudMagnitudes: number,
): Verdict {
  const startUnixMs = midnightOf(target);
  const exposure = exposureOf({ target, filter, exposureSeconds, startUnixMs, observatory, cloudMagnitudes });
  const { image, circumstances } = simulate(exposure, stars);
  return judge(image, exposure, circumstances);
}

const cause = (verdict: Verdict): string => (verdict.is === "usable" ? "usable" : verdict.because);
const named = (name: string): FixedTarget => catalogue.lookUp(name).found as FixedTarget;

describe("a clear sky", () => {
  test.each([
    ["M60", "B", 1],
    ["M49", "Hα", 5],
    ["M51", "Hα", 2],
    ["M33", "Hα", 0.01],
  ] as const)(
    "is not called cloud over %s through %s for %d s, of which little shows",
    (name, filter, time) => {
      expect(["usable", "too-short"]).toContain(cause(judged(named(name), filter, time, 0)));
    },
  );

  test("is not called cloud over targets, filters and lengths drawn from all there are", () => {
    const random = seededRandom(20_261_125);
    const draw = <Item>(items: readonly Item[]): Item =>
      items[Math.floor(random.uniform() * items.length)] as Item;
    const up = catalogue.targets.filter(
      (each): each is FixedTarget => each.kind === "fixed" && each.decDegrees > -20,
    );
    const filters = config.observatory.camera.filters.map(({ name }) => name);
    for (let count = 0; count < 16; count++) {
      const [target, filter, time] = [draw(up), draw(filters), draw([0.01, 0.2, 1, 2, 5, 10, 20, 60])];
      const verdict = judged(target, filter, time, 0);
      expect([target.id, filter, time, cause(verdict)]).not.toContain("cloud");
    }
  });
});

test.each([
  ["M13", "V", 20],
  ["M60", "clear", 20],
  ["M57", "B", 60],
  ["M33", "R", 10],
] as const)("thick cloud over %s through %s for %d s is called cloud", (name, filter, time) => {
  expect(cause(judged(named(name), filter, time, THICK_CLOUD))).toBe("cloud");
});
