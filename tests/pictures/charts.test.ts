/** Charts say the same in picture, words and numbers. */
import { describe, expect, test } from "vitest";
import { HOUR, MINUTE } from "../../src/base/units.js";
import { loadConfig } from "../../src/config/load.js";
import type { Estimate } from "../../src/estimates/forecast-service.js";
import { compareChart } from "../../src/pictures/compare-chart.js";
import { pictures } from "../../src/pictures/pictures.js";
import { queueChart } from "../../src/pictures/queue-chart.js";
import { targetChart } from "../../src/pictures/target-chart.js";
import { tonightChart } from "../../src/pictures/tonight-chart.js";
import type { Request } from "../../src/queue/request.js";
import { nightNamed } from "../../src/sky/night.js";
import type { FixedTarget } from "../../src/sky/target.js";

const { observatory } = loadConfig("config/tern-hollow.yaml");
const night = nightNamed("2026-11-25", observatory.site.timeZone);
const nowUnixMs = night.startUnixMs + 7 * HOUR;

const fixed = (id: string, raDegrees: number, decDegrees: number): FixedTarget => ({
  kind: "fixed",
  id,
  name: id,
  type: "galaxy",
  raDegrees,
  decDegrees,
  magnitude: 5,
  sizeArcminutes: 10,
});
const andromeda = fixed("M31", 10.685, 41.269);
const farSouth = fixed("C106", 6.02, -72.08);

function rows(count: number, label: string) {
  return Array.from({ length: count }, (_, index) => {
    const startUnixMs = nowUnixMs + index * 3 * MINUTE;
    const turn = { times: { totalMs: 2 * MINUTE }, altitudeDegrees: 70 - index };
    const estimate = {
      number: index + 1,
      startUnixMs,
      earliestUnixMs: startUnixMs - MINUTE,
      latestUnixMs: startUnixMs + MINUTE,
      turn,
    };
    return {
      request: {} as Request,
      estimate: estimate as unknown as Estimate,
      label: `#${index + 1} ${label}`,
      own: index === 2,
    };
  });
}

describe("the run order chart", () => {
  const input = { observatory, night, nowUnixMs, rows: rows(20, "M31") };

  test("names rows, altitudes and what it left out", () => {
    const { svg, altText } = queueChart(input);
    expect(svg).toContain("▸ #3 M31");
    expect(svg).toContain("68°");
    expect(svg).toContain("6 more not shown");
    expect(svg).not.toContain("#15 M31");
    expect(altText).toContain("#1 M31 at 19:00");
    expect(altText).toContain("and 15 more");
  });

  test("keeps a hostile label as text", () => {
    const { svg } = queueChart({ ...input, rows: rows(1, "<script>x</script>&") });
    expect(svg).not.toContain("<script>");
    expect(svg).toContain("&lt;script&gt;");
  });

  test("becomes a PNG with letters in it: the font is found", async () => {
    const plain = await pictures.queue({ ...input, rows: rows(1, "M31") });
    const other = await pictures.queue({ ...input, rows: rows(1, "M45") });
    expect([...plain.png.slice(1, 4)]).toEqual([0x50, 0x4e, 0x47]);
    expect(Buffer.compare(Buffer.from(plain.png), Buffer.from(other.png))).not.toBe(0);
  });

  test("says so when nothing has a turn", () => {
    expect(queueChart({ ...input, rows: [] }).altText).toBe(
      "Chart of the run order: nothing has a turn tonight.",
    );
  });
});

describe("altitude charts", () => {
  test("give the peak and the window in words", () => {
    const windows = [{ openUnixMs: nowUnixMs, closeUnixMs: nowUnixMs + 4 * HOUR }];
    const { svg, altText } = targetChart({ observatory, night, nowUnixMs, target: andromeda, windows });
    expect(altText).toMatch(/highest at 8\d° about 21:\d\d, observable 19:00 to 23:00/);
    expect(svg).toContain("limit 20°");
    expect(svg).toContain("Moon");
  });

  test("say that a far southern target never rises", () => {
    const { altText } = targetChart({ observatory, night, nowUnixMs, target: farSouth, windows: [] });
    expect(altText).toContain("below the horizon all night");
  });

  test("draw in the midnight sun too", () => {
    const north = {
      ...observatory,
      site: { ...observatory.site, latitudeDegrees: 70, timeZone: "Europe/Oslo" },
    };
    const summer = nightNamed("2026-06-20", "Europe/Oslo");
    const { altText } = tonightChart({ observatory: north, night: summer, nowUnixMs, targets: [andromeda] });
    expect(altText).toContain("M31");
  });
});

test("the comparison prints each rule's own numbers", () => {
  const planned = {
    rule: "planned" as const,
    inUse: true,
    requestsCompleted: 41,
    turnsGini: 0.256,
    meanAirmass: 1.234,
    worstAirmass: 2.1,
    medianWaitMinutes: 41.2,
    worstWaitMinutes: 99.6,
    minutesMoving: 12,
    minutesExposing: 63,
  };
  const none = {
    ...planned,
    rule: "first-come" as const,
    inUse: false,
    requestsCompleted: 0,
    meanAirmass: Number.NaN,
  };
  const { svg, altText } = compareChart({ rules: [planned, none] });
  for (const shown of ["1.23", "2.10", "0.26", "41 min", "100 min", "12 min", "63 min"])
    expect(svg).toContain(`>${shown}<`);
  expect(svg).toContain("▸ planned");
  expect(svg).not.toContain("▸ first-come");
  expect(svg).not.toContain("NaN");
  expect(altText).toContain(
    "planned (in use): completed 41, shared (Gini) 0.26, mean airmass 1.23, worst airmass 2.10, median wait 41 min, worst wait 100 min, moving 12 min, exposing 63 min.",
  );
});
