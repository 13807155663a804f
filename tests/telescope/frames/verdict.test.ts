import { describe, expect, it } from "vitest";
import type { Equipment, Verdict } from "../../../src/journal/events.js";
import { loadStars } from "../../../src/sky/load-stars.js";
import type { Exposure } from "../../../src/telescope/frames/exposure.js";
import { judge } from "../../../src/telescope/frames/keep-frame.js";
import { type FrameEvidence, verdictOn } from "../../../src/telescope/frames/verdict.js";
import { THICK_CLOUD } from "../../../src/telescope/practice/cloud.js";
import { type Simulation, simulate } from "../../../src/telescope/practice/frame.js";
import {
  allReady,
  config,
  exposureOf,
  JUNE_DAY,
  jupiter,
  m13,
  smallCamera,
} from "../practice/practice-example.js";

const stars = loadStars();
const { camera } = config.observatory;
const shut: Equipment = { ...allReady, dome: "shut" };
const away: Equipment = { ...allReady, camera: "away" };

/** Makes the frame and judges it by its pixels. */
function judged(change: Partial<Exposure & Simulation>): Verdict {
  const exposure = exposureOf({ target: m13, observatory: smallCamera(1024), ...change });
  const { image, circumstances } = simulate(exposure, stars);
  return judge(image, exposure, circumstances);
}

describe("a frame made and judged by its pixels", () => {
  it("is usable on a clear night, with the stars that were seen", () => {
    const verdict = judged({});
    expect(verdict).toMatchObject({ is: "usable", starsSeen: expect.any(Number) });
    expect(verdict.starsSeen).toBeGreaterThan(200);
  });

  it("is black because the Sun was up, with its altitude at mid-exposure", () => {
    expect(judged({ startUnixMs: JUNE_DAY })).toMatchObject({
      is: "black",
      because: "sun-up",
      // astropy (ERFA): 68.93° at 2026-06-15T18:00:30 UTC for Tern Hollow.
      sunAltitudeDegrees: expect.closeTo(68.93, 1),
      starsSeen: 0,
    });
  });

  it("is black because the Sun was too near the horizon, though the dome was open and every pixel is full", () => {
    const verdict = judged({ startUnixMs: Date.parse("2026-06-15T02:30:00Z") });
    expect(verdict).toMatchObject({ is: "black", because: "sun-up" });
    expect((verdict as { medianAdu: number }).medianAdu).toBeGreaterThan(60_000);
  });

  it("is black because of cloud, with the stars that are missing", () => {
    const verdict = judged({ cloudMagnitudes: THICK_CLOUD });
    expect(verdict).toMatchObject({ is: "black", because: "cloud", starsSeen: 0 });
    expect((verdict as { starsExpected: number }).starsExpected).toBeGreaterThan(50);
  });

  it("is black because of cloud when a bright star is missing from a snapshot of no other", () => {
    const vega: Exposure["target"] = {
      kind: "fixed",
      id: "Vega",
      name: "Vega",
      type: "star",
      raDegrees: 279.235,
      decDegrees: 38.784,
      magnitude: 0.03,
      sizeArcminutes: null,
    };
    const snapshot = { target: vega, exposureSeconds: 0.01 };
    expect(judged(snapshot)).toMatchObject({ is: "usable" });
    expect(judged({ ...snapshot, cloudMagnitudes: THICK_CLOUD })).toMatchObject({
      is: "black",
      because: "cloud",
    });
  });

  it("is black because the dome was shut", () => {
    expect(judged({ equipment: shut })).toMatchObject({ is: "black", because: "dome-shut" });
  });

  it("is synthetic when no camera is fitted, by day and with the dome shut too", () => {
    expect(judged({ equipment: away })).toMatchObject({ is: "synthetic", because: "no-camera" });
    const everything = { ...away, dome: "shut", sky: "cloud" } as const;
    expect(judged({ equipment: everything, startUnixMs: JUNE_DAY })).toMatchObject({ is: "synthetic" });
  });

  it("is usable for a planet in a tenth of a second, when hardly a star shows", () => {
    const startUnixMs = Date.parse("2026-11-26T11:00:00Z");
    const change = { target: jupiter, filter: "Hα", exposureSeconds: 0.1, startUnixMs };
    expect(judged(change)).toMatchObject({ is: "usable" });
    expect(judged({ ...change, equipment: shut })).toMatchObject({ because: "dome-shut" });
    expect(judged({ ...change, cloudMagnitudes: THICK_CLOUD })).not.toMatchObject({ is: "usable" });
  });

  it("is over-exposed for a planet whose disc is burnt out, though little of the frame is full", () => {
    const startUnixMs = Date.parse("2026-11-26T11:00:00Z");
    const verdict = judged({ target: jupiter, filter: "clear", exposureSeconds: 20, startUnixMs });
    expect(verdict).toMatchObject({ is: "spoilt", because: "over-exposed" });
    const { saturatedDisc = 0, saturatedShare = 1 } = verdict as {
      saturatedDisc?: number;
      saturatedShare?: number;
    };
    expect(saturatedDisc).toBeGreaterThan(0.9);
    expect(saturatedShare).toBeLessThan(0.05);
  });

  it("is black where the dome's slit stood elsewhere than the tube looked, by more than half its width", () => {
    const exposure = exposureOf({ target: m13, observatory: smallCamera(1024), equipment: shut });
    const { image, circumstances } = simulate(exposure, stars);
    const limits = { trailedElongation: null, outOfFocusArcseconds: null };
    const off = (slitOffDegrees: number) =>
      judge(image, { ...exposure, equipment: allReady }, circumstances, {
        ...{ simulated: false, usualFwhmArcseconds: null, slitOffDegrees, limits },
      });
    expect(off(40)).toMatchObject({ is: "black", because: "slit-away", slitOffDegrees: 40 });
    expect(off(2)).not.toMatchObject({ because: "slit-away" });
  });

  it("is usable for the Moon, which fills the frame and leaves no background", () => {
    const moon = { kind: "body", id: "moon", name: "Moon", type: "moon", body: "Moon" } as const;
    const startUnixMs = Date.parse("2026-11-26T06:00:00Z");
    const change = { target: moon, filter: "Hα", exposureSeconds: 0.1, startUnixMs };
    expect(judged(change)).toMatchObject({ is: "usable", starsSeen: 0 });
    expect(judged({ ...change, cloudMagnitudes: THICK_CLOUD })).not.toMatchObject({ is: "usable" });
  });

  it("says how much of it is overexposed", () => {
    const startUnixMs = Date.parse("2026-11-26T06:00:00Z");
    const moon = { kind: "body", id: "moon", name: "Moon", type: "moon", body: "Moon" } as const;
    const verdict = judged({ target: moon, filter: "clear", exposureSeconds: 5, startUnixMs });
    expect(verdict).toMatchObject({ is: "spoilt", because: "over-exposed" });
    expect((verdict as { saturatedShare: number }).saturatedShare).toBeGreaterThan(0.95);
    expect((judged({}) as { saturatedShare: number }).saturatedShare).toBeLessThan(0.01);
  });
});

describe("a frame too short for anything to show", () => {
  it("is said to be that, with a length that would do", () => {
    expect(judged({ filter: "Hα", exposureSeconds: 0.01 })).toMatchObject({
      is: "black",
      because: "too-short",
      starsSeen: 0,
      exposureSeconds: 0.01,
      enoughSeconds: 120,
    });
    expect(judged({ target: jupiter, filter: "Hα", exposureSeconds: 0.1, equipment: shut })).toMatchObject({
      because: "dome-shut",
    });
  });

  it("is cloud where cloud was reported", () => {
    const cloudy: Equipment = { ...allReady, sky: "cloud" };
    const change = { filter: "Hα", exposureSeconds: 0.01, cloudMagnitudes: THICK_CLOUD, equipment: cloudy };
    expect(judged(change)).toMatchObject({ because: "cloud" });
  });
});

describe("the verdict on evidence alone, from any telescope", () => {
  const dark: FrameEvidence = {
    medianAdu: 1002,
    noiseAdu: 5.5,
    brightShare: 0,
    saturatedShare: 0,
    pixels: 4_194_304,
    starsSeen: 0,
    starsExpected: 150,
    targetUnmissable: false,
    exposureSeconds: 20,
    enoughSeconds: null,
    sunAltitudeDegrees: -30,
    equipment: allReady,
    simulated: false,
    skyExpectedAdu: 50,
    darkAdu: 0,
    slitOffDegrees: null,
    saturatedDisc: null,
    stars: null,
    offDegrees: null,
  };
  const limits = { elongation: 1.5, fwhmArcseconds: 5 };
  const of = (change: Partial<FrameEvidence>): string => {
    const verdict = verdictOn({ ...dark, ...change }, camera, limits);
    return verdict.is === "usable" ? "usable" : `${verdict.is}: ${verdict.because}`;
  };

  it("believes the pixels of a real frame, whatever was said of the camera; a simulated one without a camera is no frame", () => {
    const equipment = { ...allReady, camera: "away" } as const;
    const stars = { starsSeen: 140, medianAdu: 1040 };
    expect(of({ ...stars, equipment })).toBe("usable");
    expect(of({ equipment })).toBe(of({}));
    expect(of({ ...stars, equipment, simulated: true })).toBe("synthetic: no-camera");
  });

  it("names the Sun before the shut dome: opening it by day would not have helped", () => {
    expect(of({ sunAltitudeDegrees: 12, equipment: shut })).toBe("black: sun-up");
    expect(of({ sunAltitudeDegrees: -7, equipment: shut })).toBe("black: dome-shut");
  });

  it("names the shut dome before cloud", () => {
    expect(of({ equipment: { ...shut, sky: "cloud" } })).toBe("black: dome-shut");
  });

  it("believes the pixels before the reports: stars seen make a frame usable", () => {
    expect(of({ starsSeen: 120, equipment: { ...shut, sky: "cloud" } })).toBe("usable");
    expect(of({ starsSeen: 120, sunAltitudeDegrees: -3 })).toBe("usable");
  });

  it("takes missing stars for cloud only when enough were expected", () => {
    expect(of({ starsSeen: 5 })).toBe("black: cloud");
    expect(of({ starsExpected: 20 })).toBe("black: cloud");
    for (const starsExpected of [1, 4, 8, 15]) expect(of({ starsExpected })).toBe("black: unknown");
    expect(of({ starsExpected: 1, equipment: { ...allReady, sky: "cloud" } })).toBe("black: cloud");
  });

  it("calls a frame usable that shows one star of eight: chance may take away the others", () => {
    expect(of({ starsSeen: 1, starsExpected: 8 })).toBe("usable");
    expect(of({ starsSeen: 1, starsExpected: 40 })).toBe("black: cloud");
    expect(of({ starsSeen: 220, starsExpected: 1_000 })).toBe("usable");
  });

  it("calls a frame too short when nothing is missing that had to show, and a longer one would show enough", () => {
    const short = { starsExpected: 4, exposureSeconds: 1, enoughSeconds: 60 };
    expect(of(short)).toBe("black: too-short");
    expect(of({ ...short, starsExpected: 150 })).toBe("black: cloud");
    expect(of({ ...short, equipment: { ...allReady, sky: "cloud" } })).toBe("black: cloud");
    expect(of({ ...short, equipment: shut })).toBe("black: dome-shut");
  });

  it("takes a bright target that is missing for cloud, however few stars were expected", () => {
    expect(of({ starsExpected: 0, targetUnmissable: true })).toBe("black: cloud");
    expect(of({ starsExpected: 0, targetUnmissable: true, starsSeen: 1 })).toBe("usable");
  });

  it("calls a frame without even a clouded sky's glow one that no light reached", () => {
    expect(of({ skyExpectedAdu: 2_000, medianAdu: 1_003 })).toBe("black: no-light");
    expect(of({ skyExpectedAdu: 2_000, medianAdu: 1_130 })).toBe("black: cloud");
    // Too short to tell.
    expect(of({ skyExpectedAdu: 50, medianAdu: 1_003 })).toBe("black: cloud");
    expect(of({ skyExpectedAdu: 2_000, medianAdu: 1_003, equipment: shut })).toBe("black: dome-shut");
  });

  it("tells a slit that stood elsewhere from a cap, and a cap from a camera that was not read out", () => {
    const lightless = { skyExpectedAdu: 2_000, medianAdu: 1_003 };
    expect(of({ ...lightless, slitOffDegrees: 34 })).toBe("black: slit-away");
    expect(of({ ...lightless, slitOffDegrees: 34, equipment: shut })).toBe("black: dome-shut");
    expect(of({ starsSeen: 120, slitOffDegrees: 34 })).toBe("usable");
    expect(of({ ...lightless, noiseAdu: 0.3 })).toBe("black: no-camera");
    expect(of({ ...lightless, noiseAdu: 0.3, sunAltitudeDegrees: 12 })).toBe("black: sun-up");
  });

  it("calls a frame with light spoilt when it is full, beside its target, trailed or out of focus", () => {
    const light = { starsSeen: 120 };
    const stars = { fwhmArcseconds: 2.5, elongation: 1.1, alignment: 0.2 };
    expect(of({ ...light, stars })).toBe("usable");
    expect(of({ ...light, saturatedShare: 0.6 })).toBe("spoilt: over-exposed");
    expect(of({ ...light, saturatedShare: 0.001, saturatedDisc: 0.9 })).toBe("spoilt: over-exposed");
    expect(of({ ...light, saturatedShare: 0.001, saturatedDisc: 0.1 })).toBe("usable");
    expect(of({ ...light, stars, offDegrees: 0.21 })).toBe("spoilt: off-target");
    expect(of({ ...light, stars: { ...stars, elongation: 2, alignment: 0.9 } })).toBe("spoilt: trailed");
    expect(of({ ...light, stars: { ...stars, elongation: 2 } })).toBe("usable");
    expect(of({ ...light, stars: { ...stars, fwhmArcseconds: 9 } })).toBe("spoilt: out-of-focus");
  });

  it("counts a dome at fault as one that was not open", () => {
    expect(of({ equipment: { ...allReady, dome: "fault" } })).toBe("black: dome-shut");
  });

  it("sees a disc or a nebula where there are no stars", () => {
    expect(of({ brightShare: 5_000 / dark.pixels })).toBe("usable");
    expect(of({ noiseAdu: 400, medianAdu: 9_000, starsExpected: 0 })).toBe("usable");
  });

  it("carries its evidence in numbers", () => {
    expect(verdictOn({ ...dark, sunAltitudeDegrees: 12.5 }, camera, limits)).toEqual({
      is: "black",
      because: "sun-up",
      sunAltitudeDegrees: 12.5,
      medianAdu: 1002,
      starsExpected: 150,
      starsSeen: 0,
    });
    expect(verdictOn({ ...dark, starsSeen: 140, medianAdu: 1040 }, camera, limits)).toEqual({
      is: "usable",
      starsSeen: 140,
      backgroundElectrons: 60,
      saturatedShare: 0,
    });
  });
});
