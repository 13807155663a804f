/**
 * Reads orbits in the Minor Planet Center's one-line formats, minor planets and comets in any order: its pages
 * MPOrbitFormat and CometOrbitFormat give the columns, PackedDates how an epoch is packed.
 */

import { DAY } from "../../base/units.js";
import type { NamedTarget, SmallBodyTarget } from "../target.js";
import { type Brightness, type Orbit, UNIX_JULIAN_DATE } from "./orbit.js";

/** Its names: "Ceres", "1 Ceres", "10P/Tempel", "C/2026 A2". */
interface ReadOrbit extends NamedTarget {
  readonly target: SmallBodyTarget;
}

/** A line that is neither: its number from 1, and what is wrong with it. */
interface OrbitFault {
  readonly line: number;
  readonly what: string;
}

interface OrbitFile {
  readonly bodies: readonly ReadOrbit[];
  readonly faults: readonly OrbitFault[];
}

/** All orbits of a text. Empty lines, lines after "#" and a header that ends in a line of dashes are passed over. */
export function readOrbits(text: string): OrbitFile {
  const bodies: ReadOrbit[] = [];
  const faults: OrbitFault[] = [];
  const lines = text.split(/\r?\n/);
  const header = lines.findIndex((line) => /^-{20,}$/.test(line.trim()));
  for (const [index, line] of lines.entries()) {
    if (index <= header || line.trim() === "" || line.startsWith("#")) continue;
    const read = readLine(line);
    if (typeof read === "string") faults.push({ line: index + 1, what: read });
    else bodies.push(read);
  }
  return { bodies, faults };
}

/** @returns what is wrong, where something is */
function readLine(line: string): ReadOrbit | string {
  // A comet's line has the orbit's type in column 5, and a date where a minor planet's has H and G.
  const read = /^.{4}[CPDXIA].{9}[ -]?\d{1,4} \d\d [ \d]\d\.\d/.test(line)
    ? readComet(line)
    : readMinorPlanet(line);
  if (typeof read === "string") return read;
  const { perihelionAu, eccentricity, perihelionJulianDate, epochJulianDate, ...angles } = read.target.orbit;
  const isSound =
    perihelionAu > 0 &&
    perihelionAu < 1000 &&
    eccentricity >= 0 &&
    eccentricity < 20 &&
    [perihelionJulianDate, epochJulianDate].every(Number.isFinite) &&
    [angles.inclinationDegrees, angles.nodeDegrees, angles.argumentDegrees].every(Number.isFinite);
  if (!isSound) return "an element is missing or stands in the wrong columns";
  return read.target.name === "" ? "the name is missing" : read;
}

/** Columns counted from 1, as published. */
const column = (line: string, from: number, to: number): string => line.slice(from - 1, to).trim();
const numberAt = (line: string, from: number, to: number): number => {
  const text = column(line, from, to);
  return text === "" ? Number.NaN : Number(text);
};

function readMinorPlanet(line: string): ReadOrbit | string {
  const epochJulianDate = unpackedDate(column(line, 21, 25));
  if (epochJulianDate === null)
    return "columns 21 to 25 hold no packed date such as K2669, and columns 15 to 29 no perihelion of a comet";
  const meanAnomaly = numberAt(line, 27, 35);
  const eccentricity = numberAt(line, 71, 79);
  const semiMajorAxis = numberAt(line, 93, 103);
  const dailyMotion = GAUSS_DEGREES / semiMajorAxis ** 1.5;
  // The nearest perihelion, before or after.
  const sincePerihelion = meanAnomaly > 180 ? meanAnomaly - 360 : meanAnomaly;
  const designation = column(line, 167, 194) || column(line, 1, 7);
  const [, number = "", proper = ""] = /^(?:\((\d+)\)\s*)?(.*)$/.exec(designation) as RegExpExecArray;
  const orbit: Orbit = {
    perihelionAu: semiMajorAxis * (1 - eccentricity),
    eccentricity,
    inclinationDegrees: numberAt(line, 60, 68),
    nodeDegrees: numberAt(line, 49, 57),
    argumentDegrees: numberAt(line, 38, 46),
    perihelionJulianDate: epochJulianDate - sincePerihelion / dailyMotion,
    epochJulianDate,
    brightness: brightnessOf("H-G", numberAt(line, 9, 13), numberAt(line, 15, 19), 0.15),
  };
  const name = proper || number;
  return {
    target: { kind: "orbit", id: idOf(name), name, type: "minor planet", orbit },
    names: [
      name,
      ...(number === "" ? [] : [`${number} ${name}`, `asteroid ${name}`, `minor planet ${number}`]),
    ],
  };
}

/** k in degrees a day: a body at 1 AU moves so far. */
const GAUSS_DEGREES = 0.985_607_668_6;

function readComet(line: string): ReadOrbit {
  const month = numberAt(line, 20, 21);
  const perihelionJulianDate = julianDate(numberAt(line, 15, 18), month, numberAt(line, 23, 29));
  const epoch = /^(\d{4})(\d\d)(\d\d)$/.exec(column(line, 82, 89));
  const orbit: Orbit = {
    perihelionAu: numberAt(line, 31, 39),
    eccentricity: numberAt(line, 42, 49),
    argumentDegrees: numberAt(line, 52, 59),
    nodeDegrees: numberAt(line, 62, 69),
    inclinationDegrees: numberAt(line, 72, 79),
    perihelionJulianDate,
    // Without one, the elements are those of the perihelion.
    epochJulianDate: epoch
      ? julianDate(Number(epoch[1]), Number(epoch[2]), Number(epoch[3]))
      : perihelionJulianDate,
    brightness: brightnessOf("comet", numberAt(line, 92, 95), numberAt(line, 97, 100), 4),
  };
  const name = column(line, 103, 158);
  const periodic = /^(\d+[PDI](?:-[A-Z]+)?)\/(.+)$/.exec(name);
  const dated = /^([CPDXA]\/-?\d+ [A-Z]+\d*(?:-[A-Z]+)?)(?: \((.+)\))?$/.exec(name);
  const [designation, discoverer] = periodic ? periodic.slice(1) : dated ? dated.slice(1) : [name, undefined];
  return {
    target: { kind: "orbit", id: idOf(designation as string), name, type: "comet", orbit },
    names: [
      name,
      designation as string,
      ...(discoverer === undefined ? [] : [discoverer, `comet ${discoverer}`]),
      `comet ${designation}`,
    ],
  };
}

function brightnessOf(law: "H-G" | "comet", absolute: number, slope: number, usual: number): Brightness {
  if (!Number.isFinite(absolute)) return null;
  return { law, absolute, slope: Number.isFinite(slope) ? slope : usual };
}

function idOf(name: string): string {
  return name.replace(/[^\p{L}\p{N}]/gu, "");
}

/** "K2669" is 2026 June 9: a letter for the century, the year in it, then month and day as 1–9, A–V. */
function unpackedDate(packed: string): number | null {
  const match = /^([I-L])(\d\d)([1-9A-C])([1-9A-V])$/.exec(packed);
  if (!match) return null;
  const [, century, year, month, day] = match as unknown as [string, string, string, string, string];
  const digit = (letter: string): number => Number.parseInt(letter, 32);
  const centuries = century.charCodeAt(0) - "I".charCodeAt(0) + 18;
  return julianDate(centuries * 100 + Number(year), digit(month), digit(day));
}

/** Of a date in the Gregorian calendar, the day with its fraction. */
function julianDate(year: number, month: number, day: number): number {
  const whole = new Date(0);
  whole.setUTCFullYear(year, month - 1, 1);
  return whole.getTime() / DAY + UNIX_JULIAN_DATE + day - 1;
}
