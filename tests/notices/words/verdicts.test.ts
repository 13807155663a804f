/** What a frame's verdict is called, and what its owner can do about it. */
import { expect, test } from "vitest";
import { renderPhrase } from "../../../src/base/phrase.js";
import type { Verdict } from "../../../src/journal/events.js";
import { adviceFor, verdictWords } from "../../../src/notices/words/verdicts.js";

type Spoilt = Exclude<Verdict, { is: "usable" }>;

const spoilt = (because: Spoilt["because"], more: Partial<Spoilt> = {}): Spoilt => ({
  ...{ is: "black", because, sunAltitudeDegrees: -40, medianAdu: 1003.4, starsExpected: 40, starsSeen: 1 },
  ...more,
});
const DUSK = Date.UTC(2026, 10, 26, 0, 30);
const read = (verdict: Spoilt, darkUnixMs: number | null = DUSK): string =>
  renderPhrase(adviceFor(verdict, darkUnixMs), {
    text: (plain) => plain,
    time: ({ timeUnixMs }) => new Date(timeUnixMs).toISOString().slice(11, 16),
    person: (id) => id,
    strong: (text) => text,
  });

const CASES: readonly [Spoilt, words: string, advice: RegExp][] = [
  [spoilt("cloud"), "black: cloud, 1 of 40 expected stars seen", /when the sky has cleared; \/tonight/],
  [spoilt("cloud", { starsExpected: 0 }), "black: cloud, 1 star seen, none expected", /sky has cleared/],
  [spoilt("dome-shut"), "black: the dome was shut, 1 of 40 expected stars seen", /once the dome is open/],
  [
    spoilt("slit-away", { slitOffDegrees: 31 }),
    "black: the dome's slit stood 31° from where the telescope looked",
    /once the dome follows the telescope/,
  ],
  [
    spoilt("no-camera", { is: "synthetic" }),
    "synthetic: no camera is fitted, so the picture was computed and not taken",
    /once the camera is back/,
  ],
  [
    spoilt("no-camera"),
    "black: no camera was read out, for the pixels have not even read noise",
    /once the camera is back/,
  ],
  [
    spoilt("too-short", { exposureSeconds: 0.01, starsExpected: 0, enoughSeconds: 20 }),
    "black: too short, in 0.01 s nothing here is bright enough to show",
    /^Ask for 20 s\.$/,
  ],
  [
    spoilt("too-short", { exposureSeconds: 2, starsExpected: 3 }),
    "black: too short, in 2 s hardly anything here is bright enough to show",
    /^Ask for a longer exposure\.$/,
  ],
  [
    spoilt("too-short", { starsExpected: 4 }),
    "black: too short, in this time too little shows to tell a clear sky from cloud, 1 of 4 expected stars seen",
    /^Ask for a longer exposure\.$/,
  ],
  [
    spoilt("no-light"),
    "black: no light reached the camera, only bias level and read noise (middle pixel value 1003 ADU)",
    /the cap may be on/,
  ],
  [
    spoilt("over-exposed", { is: "spoilt", saturatedShare: 0.4 }),
    "spoilt: over-exposed, 40 % of the pixels are full",
    /a shorter exposure, or a filter that lets less light through/,
  ],
  [
    spoilt("over-exposed", { is: "spoilt", saturatedShare: 0.4, saturatedDisc: 0.9 }),
    "spoilt: over-exposed, 90 % of the disc is full",
    /a shorter exposure/,
  ],
  [
    spoilt("off-target", { is: "spoilt", offDegrees: 0.517 }),
    "spoilt: 0.52° off, so the target is outside the field",
    /who can mend the pointing or the tracking/,
  ],
  [
    spoilt("trailed", { is: "spoilt", elongation: 2.04 }),
    "spoilt: trailed, the stars 2.0 times as long as wide",
    /who can mend the pointing or the tracking/,
  ],
  [
    spoilt("out-of-focus", { is: "spoilt", fwhmArcseconds: 9.26 }),
    "spoilt: out of focus, the stars 9.3″ wide",
    /who can focus/,
  ],
  [
    spoilt("unknown"),
    "black: the cause is not known (1 of 40 expected stars seen, middle pixel value 1003 ADU)",
    /Show it to the instructor or the operator/,
  ],
];

test.each(CASES.map(([verdict, words, advice]) => [words, verdict, advice] as const))(
  "%s: told with what to do about it",
  (words, verdict, advice) => {
    expect(verdictWords(verdict)).toBe(words);
    expect(read(verdict)).toMatch(advice);
  },
);

test("a frame by day says where the Sun stood, and when to ask again", () => {
  const day = spoilt("sun-up", { sunAltitudeDegrees: 12 });
  expect(verdictWords(day)).toBe("black: the Sun was up, 12° above the horizon at mid-exposure");
  expect(read(day)).toBe("Ask again after dusk at 00:30.");
  const dusk = spoilt("sun-up", { sunAltitudeDegrees: -5 });
  expect(verdictWords(dusk)).toContain("it was not dark yet, the Sun only");
  expect(read(dusk, null)).toContain("ask again on a darker night");
});
