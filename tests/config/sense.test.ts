/** What each key alone would allow, and the whole does not: geometry that cannot be, people who cannot be told apart. */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { Refusal } from "../../src/base/refusal.js";
import { doubtsOf } from "../../src/config/doubts.js";
import { parseConfig } from "../../src/config/load.js";

const GOOD = readFileSync(fileURLToPath(new URL("../../config/tern-hollow.yaml", import.meta.url)), "utf8");

function changed(from: string, to: string): string {
  expect(GOOD).toContain(from);
  return GOOD.replace(from, to);
}

function refusalOf(text: string): string {
  try {
    parseConfig(text, "mine.yaml");
  } catch (error) {
    expect(error).toBeInstanceOf(Refusal);
    return (error as Refusal).message;
  }
  throw new Error("this configuration was accepted");
}

const MASK = GOOD.slice(GOOD.indexOf("horizonMask:"), GOOD.indexOf("    sunAltitudeDegrees"));
const corners = (...list: readonly (readonly [number, number])[]): string =>
  `horizonMask: [${list.map(([azimuth, altitude]) => `{ azimuthDegrees: ${azimuth}, altitudeDegrees: ${altitude} }`).join(", ")}]\n`;

describe("an observatory that cannot be", () => {
  test.each([
    [
      "a slit wider than its dome",
      "slitWidthMetres: 1.2",
      "slitWidthMetres: 12",
      "observatory.dome.slitWidthMetres: 12 is not allowed; allowed: less than diameterMetres, 4.5: a slit is narrower than its dome.",
    ],
    [
      "two corners of the mask at one azimuth",
      MASK,
      corners([0, 22], [90, 14], [90, 30]),
      "observatory.limits.horizonMask.3.azimuthDegrees: 90 is not allowed; allowed: a different azimuth for each corner",
    ],
    [
      "a mask over the whole sky",
      MASK,
      corners([0, 90], [180, 85]),
      "observatory.limits.horizonMask.1.altitudeDegrees: 90 is not allowed; allowed: a mask that falls below 80 somewhere",
    ],
    [
      "a darker sky for bright targets than for faint ones",
      "brightSunAltitudeDegrees: -6",
      "brightSunAltitudeDegrees: -15",
      "observatory.limits.brightSunAltitudeDegrees: -15 is not allowed; allowed: at least sunAltitudeDegrees, -12",
    ],
  ])("%s", (_, from, to, said) => {
    expect(refusalOf(changed(from, to))).toContain(said);
  });

  test("a mask may begin at 0 and end at 360, and hide part of the sky up to the zenith", () => {
    const text = changed(MASK, corners([0, 10], [120, 90], [240, 90], [360, 10]));
    expect(parseConfig(text, "mine.yaml").observatory.limits.horizonMask).toHaveLength(4);
  });
});

describe("people who cannot be told apart", () => {
  test.each([
    [
      "a student called by a role's word",
      "{ id: mira, name: Mira,",
      "{ id: mira, name: Student,",
      'classes.1.students.1.name: "Student" is not allowed; allowed: a name that is no role\'s word (student, instructor, operator).',
    ],
    [
      "one name twice in a class, whatever its case",
      "{ id: tomas, name: Tomas,",
      "{ id: tomas, name: MIRA,",
      'classes.1.students.2.name: "MIRA" is not allowed; allowed: a different name for each person of a class.',
    ],
    [
      "one id twice in a class",
      "{ id: tomas, name: Tomas,",
      "{ id: mira, name: Tomas,",
      'classes.1.students.2.id: "mira" is not allowed; allowed: a different id for each person.',
    ],
  ])("%s", (_, from, to, said) => {
    expect(refusalOf(changed(from, to))).toContain(said);
  });

  const second = (people: string): string =>
    changed("\nqueue:", `\n  - { id: morning-1, name: Morning, tier: class, ${people} }\n\nqueue:`);

  test.each([
    [
      "a student's id in a second class",
      "students: [{ id: mira, name: Mira Other }]",
      'classes.2.students.1.id: "mira" is not allowed; allowed: an id that class evening-2 does not have: only staff may be in several classes.',
    ],
    [
      "a student's id for staff of a second class",
      "operators: [{ id: mira, name: Mira }]",
      "classes.2.operators.1.id",
    ],
    [
      "an instructor's id for a student of a second class",
      "students: [{ id: quill, name: Prof. Quill }]",
      "classes.2.students.1.id",
    ],
    [
      "an instructor's id under another name",
      "instructors: [{ id: quill, name: Dr. Vance }]",
      'classes.2.instructors.1.id: "quill" is not allowed; allowed: an id that is nobody else\'s, or the same name as in class evening-2, Prof. Quill.',
    ],
  ])("%s", (_, people, said) => {
    expect(refusalOf(second(people))).toContain(said);
  });

  test("staff may be in several classes, and two classes may each have a Mira", () => {
    const people =
      "students: [{ id: mira-2, name: Mira }], instructors: [{ id: okoro, name: Tam Okoro }], operators: [{ id: quill, name: Prof. Quill }]";
    expect(parseConfig(second(people), "mine.yaml").classes).toHaveLength(2);
  });
});

describe("a configuration that may be meant otherwise", () => {
  test.each([
    ["the example", "latitudeDegrees: 42.5", "latitudeDegrees: 42.5", []],
    [
      "a longitude without its minus",
      "longitudeDegrees: -100.5",
      "longitudeDegrees: 100.5",
      [
        "observatory.site: longitude 100.5° is far from the time zone America/Chicago; east is positive and west negative, so perhaps -100.5 is meant.",
      ],
    ],
    [
      "another continent's time zone",
      "timeZone: America/Chicago",
      "timeZone: Europe/Berlin",
      [/^observatory\.site: longitude -100\.5° is far from the time zone Europe\/Berlin; one of the two/],
    ],
    [
      "a focal length in metres",
      "focalLengthMillimetres: 3400",
      "focalLengthMillimetres: 3.4",
      [
        /^observatory\.camera: with a focal length of 3\.4 mm a pixel of 9 µm sees 550″, which no telescope has/,
      ],
    ],
  ] as const)("%s is doubted in a sentence, and used", (_, from, to, sentences) => {
    const doubts = doubtsOf(parseConfig(changed(from, to), "mine.yaml"));
    expect(doubts).toHaveLength(sentences.length);
    sentences.forEach((sentence, index) => {
      if (typeof sentence === "string") expect(doubts[index]).toBe(sentence);
      else expect(doubts[index]).toMatch(sentence);
    });
  });

  test.each([
    [-69.2, "America/Argentina/Buenos_Aires"],
    [76, "Asia/Shanghai"],
    [-8.9, "Europe/Madrid"],
    [179.5, "Pacific/Auckland"],
    [-176.6, "Pacific/Auckland"],
    [-171.8, "Pacific/Apia"],
  ])("%f° may well keep the clock of %s", (longitude, zone) => {
    const text = changed("longitudeDegrees: -100.5", `longitudeDegrees: ${longitude}`);
    expect(doubtsOf(parseConfig(text.replace("America/Chicago", zone), "mine.yaml"))).toEqual([]);
  });
});
