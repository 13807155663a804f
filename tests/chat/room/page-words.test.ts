/** What the page says of a request, of the banner, and where it puts names on the sky. */
import { expect, test } from "vitest";
import { nextLine, standstill } from "../../../src/chat/room/page/now/next-words.js";
import { stateLines } from "../../../src/chat/room/page/now/state-words.js";
import { onDome, slitOutline } from "../../../src/chat/room/page/sky/projection.js";
import { placeLabels } from "../../../src/chat/room/page/sky/sky-labels.js";

const NOW = Date.UTC(2026, 10, 26, 0, 39);
const clock = (unixMs: number): string => new Date(unixMs).toISOString().slice(11, 16);
const own = {
  number: 22,
  label: "#22 M15",
  wish: "1 frame",
  place: 1,
  isNext: true,
  start: NOW + 120_000,
  early: NOW + 60_000,
  late: NOW + 180_000,
  orElse: null,
  words: ["Starts soon."],
};
const equipment = { telescope: "ready", dome: "open", camera: "fitted", sky: "clear" };

test("the strip's line has place, start, range and count; without a connection no count", () => {
  expect(nextLine(own, NOW, clock, "")).toBe("▶ #22 M15, next, 00:41 (00:40–00:42), in 2\u00a0min 00\u00a0s");
  expect(nextLine({ ...own, place: 4, isNext: false }, NOW + 120_000, clock, "")).toBe(
    "▶ #22 M15, number 4, 00:41 (00:40–00:42), any moment",
  );
  expect(nextLine({ ...own, orElse: NOW + 5 * 3_600_000 }, NOW, clock, "")).toMatch(
    /^▶ #22 M15, next, 00:41, or else about 05:39, in 2/,
  );
  expect(nextLine({ ...own, isNext: false }, NOW, clock, "")).toMatch(/^▶ #22 M15, first, 00:41/);
  expect(nextLine(own, NOW, clock, "as of 00:39")).toMatch(/, as of 00:39$/);
});

test("what has no turn says so once", () => {
  const words = [{ strong: "Not tonight" }, ": it is below the trees."];
  expect(standstill({ words })).toEqual({ head: "Not tonight", rest: ["It is below the trees."] });
  expect(nextLine({ ...own, start: null, place: null, words }, NOW, clock, "")).toBe(
    "▶ #22 M15: not tonight",
  );
  expect(standstill({ words: ["It waits for the hold to end."] }).head).toBe("Waits");
});

test("the banner says that a shut dome makes black frames while something runs", () => {
  const shut = { ...equipment, dome: "shut" };
  expect(stateLines({ hold: null, roof: false, equipment: shut, what: "#4 M13" }, clock)).toEqual([
    "The dome is shut: frames will be black.",
  ]);
  expect(stateLines({ hold: null, roof: false, equipment: shut, what: null }, clock)).toEqual([]);
  expect(stateLines({ hold: null, roof: false, equipment, what: "#4 M13" }, clock)).toEqual([]);
});

test("a hold comes first, with its end in the observatory's time", () => {
  const hold = { reason: "people in the dome", since: NOW, until: NOW + 60_000 };
  const [first] = stateLines(
    { hold, roof: false, equipment: { ...equipment, sky: "cloud" }, what: null },
    clock,
  );
  expect(first).toBe("On hold until 00:40: people in the dome");
});

test("the slit is a strip that goes on past the zenith, as wide there as anywhere", () => {
  const outline = slitOutline(210, 14);
  const lowest = Math.min(...outline.map(({ altitude }) => altitude));
  expect(lowest).toBeCloseTo(0, 6);
  expect(outline.filter(({ altitude }) => altitude > 70).length).toBeGreaterThan(3);
  // Both edges stand 14° from the great circle through the zenith.
  for (const { altitude, azimuth } of outline) {
    const [h, a] = [altitude, azimuth - 210].map((degrees) => (degrees * Math.PI) / 180) as [number, number];
    const aside = (Math.asin(Math.cos(h) * Math.sin(a)) * 180) / Math.PI;
    expect(Math.abs(aside)).toBeCloseTo(14, 6);
  }
  // The zenith itself is within.
  const { x, y } = onDome({ altitude: 84, azimuth: 30 });
  expect(isWithin(outline.map(onDome), x, y)).toBe(true);
  expect(isWithin(outline.map(onDome), 0, 0)).toBe(true);
});

test("names stand beside their marks, none over another, and crowded ones give way", () => {
  const marks = [
    { x: 0, y: 0, text: "M31" },
    { x: -16, y: 5, text: "M33" },
    { x: 95, y: 60, text: "NGC 7331 yours" },
  ];
  const [first, second, third] = placeLabels(marks, [], 9, 118);
  expect(first?.anchor).toBe("start");
  expect(second?.anchor).toBe("end");
  expect(third?.anchor).toBe("end");
  expect(placeLabels([{ x: 0, y: 0, text: "M31" }], [{ x: 12, y: 0 }], 9, 118)[0]?.anchor).toBe("end");
  const crowd = Array.from({ length: 30 }, (_, index) => ({ x: index % 3, y: index % 4, text: "M1" }));
  expect(placeLabels(crowd, [], 9, 118).filter((each) => each === null).length).toBeGreaterThan(20);
});

/** Even-odd rule. */
function isWithin(edge: readonly { x: number; y: number }[], x: number, y: number): boolean {
  return edge.reduce((inside, a, index) => {
    const b = edge[(index + 1) % edge.length] as { x: number; y: number };
    return a.y > y !== b.y > y && x < ((b.x - a.x) * (y - a.y)) / (b.y - a.y) + a.x ? !inside : inside;
  }, false);
}
