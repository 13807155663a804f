/** Reads a position as people write it: sexagesimal or in degrees, with or without units. */
import type { Degrees } from "../../base/units.js";

export interface Coordinates {
  readonly raDegrees: Degrees;
  readonly decDegrees: Degrees;
}

/** Coordinates, a sentence saying what is wrong with them, or null when the text isn't meant as coordinates at all. */
export type ReadCoordinates = Coordinates | { readonly problem: string } | null;

const HOW =
  "type them as 05 35 17 -05 23 28 (hours, minutes, seconds; then degrees) or as 83.82 -5.39 (degrees)";
/** Longer text isn't a position. */
const LONGEST = 100;
const SIGNS: readonly (readonly [RegExp, string])[] = [
  [/[\p{Cf}]/gu, ""],
  [/[−‐‑‒–—―﹣－]/g, "-"],
  [/[＋﹢]/g, "+"],
  [/[′’‘ʹ´`]/g, "'"],
  [/[″”“ʺ]|''/g, '"'],
  [/[°º˚]/g, "d"],
  [/\b(j2000(\.0)?|icrs|right ascension|declination|degrees?|deg)\b/g, " "],
  [/\b(r\.?a\.?|dec?l?\.?)(?=[\s:=\d+-])|α|δ/g, " "],
  [/=/g, " "],
  [/(\d)\s+(?=[hmsd'"])/g, "$1"],
];

/** Reads both coordinates. Right ascension in [0°, 360°), declination in [−90°, +90°]. */
export function readCoordinates(text: string): ReadCoordinates {
  if (text.length > LONGEST * 4) return null;
  let plain = text.toLowerCase().replace(/\s+/g, " ");
  for (const [pattern, replacement] of SIGNS) plain = plain.replace(pattern, replacement);
  plain = plain.replace(/^[\s:,;([]+|[\s,;)\]]+$/g, "").replace(/\s+/g, " ");
  const numbers = plain.match(/\d+(\.\d*)?/g)?.length ?? 0;
  const shape = /^[-+]?\s?[\d.][\d\s.,:;/hmsd'"+-]*$/;
  if (plain.length > LONGEST || numbers < 2 || !shape.test(plain) || /(^|[^\d.])[hmsd]/.test(plain))
    return null;
  const halves = splitHalves(plain);
  if (!halves) return { problem: `Could not tell where the declination begins; ${HOW}.` };
  const ra = readAngle(halves[0]);
  const dec = readAngle(halves[1]);
  if (!ra || !dec || dec.hours)
    return { problem: `Could not read "${text.trim().slice(0, 40)}" as coordinates; ${HOW}.` };
  return checked(ra, dec);
}

interface Angle {
  readonly text: string;
  /** As written: hours or degrees. */
  readonly value: number;
  readonly negative: boolean;
  readonly parts: number;
  readonly hours: boolean;
  readonly degrees: boolean;
  /** Minutes or seconds of 60 or more. */
  readonly overflows: boolean;
}

function checked(ra: Angle, dec: Angle): ReadCoordinates {
  const inDegrees = ra.degrees || (ra.parts === 1 && !ra.hours);
  const raDegrees = inDegrees ? ra.value : ra.value * 15;
  const overflowing = [ra, dec].find((angle) => angle.overflows);
  if (overflowing)
    return { problem: `Minutes and seconds run from 0 to 59, not as in "${overflowing.text}"; ${HOW}.` };
  if (ra.negative || raDegrees >= 360) {
    return { problem: `A right ascension runs from 0h to 24h (0° to 360°), "${ra.text}" doesn't; ${HOW}.` };
  }
  if (Math.abs(dec.value) > 90) {
    return { problem: `A declination runs from -90° to +90°, "${dec.text}" doesn't; ${HOW}.` };
  }
  return { raDegrees, decDegrees: dec.value };
}

/** At a comma, semicolon or slash; at the declination's sign; or in the middle when the counts are even. */
function splitHalves(plain: string): [string, string] | null {
  const commas = /^(\d+),(\d+)[\s;]+([-+]?)(\d+),(\d+)$/.exec(plain);
  if (commas) return [`${commas[1]}.${commas[2]}`, `${commas[3]}${commas[4]}.${commas[5]}`];
  const separated = plain.split(/\s*[,;/]\s*/);
  if (separated.length === 2) return [separated[0] as string, separated[1] as string];
  if (separated.length > 2) return null;
  const sign = plain.slice(1).search(/[-+]/) + 1;
  if (sign > 0) return [plain.slice(0, sign), plain.slice(sign)];
  const tokens = plain.split(/[\s:]+|(?<=[hmsd'"])(?=\d)/).filter(Boolean);
  const unit = tokens.findIndex((token, index) => index > 0 && /d$/.test(token) && !tokens[0]?.endsWith("d"));
  const half = unit > 0 ? unit : tokens.length / 2;
  if (!Number.isInteger(half) || tokens.length > 6) return null;
  return [tokens.slice(0, half).join(" "), tokens.slice(half).join(" ")];
}

/** "-05 23 28", "05h35m17.3s", "83.82d": up to three numbers, of which only the last may have a fraction. */
function readAngle(text: string): Angle | null {
  const match = /^\s*([-+]?)\s*(.*?)\s*$/.exec(text) as RegExpExecArray;
  const body = match[2] as string;
  const hours = /\dh/.test(body);
  const degrees = /\dd/.test(body);
  const parts = body.split(/[\s:]+|[hmsd'"]+\s*:?\s*/).filter(Boolean);
  const units = body
    .replace(/[^hmsd'"]/g, "")
    .replace(/'/g, "m")
    .replace(/"/g, "s");
  const ordered = /^[hd]?m?s?$/.test(units) && !(hours && degrees);
  const shaped = parts.every(
    (part, index) => /^(\d+(\.\d*)?|\.\d+)$/.test(part) && (index === parts.length - 1 || /^\d+$/.test(part)),
  );
  if (parts.length < 1 || parts.length > 3 || !ordered || !shaped) return null;
  const [whole = 0, minutes = 0, seconds = 0] = parts.map(Number);
  const size = whole + minutes / 60 + seconds / 3600;
  const negative = match[1] === "-";
  return {
    ...{ text: text.trim(), value: negative ? -size : size, negative, parts: parts.length, hours, degrees },
    overflows: minutes >= 60 || seconds >= 60,
  };
}
