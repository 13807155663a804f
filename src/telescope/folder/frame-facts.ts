/** What a camera program's header says of a frame: read as many programs write it. */
import { stat } from "node:fs/promises";
import { type Degrees, SECOND, type Seconds, type UtcMillis } from "../../base/units.js";
import { readCoordinates } from "../../sky/names/coordinates-text.js";
import { ByteReader } from "../frames/byte-reader.js";
import { type Card, cardValue } from "../frames/fits-cards.js";
import { findImage } from "../frames/fits-headers.js";
import { type SkyPlace, worldCoordinates } from "../frames/world-coordinates.js";

export interface FrameFacts {
  /** null for what the header does not say. */
  readonly object: string | null;
  readonly filter: string | null;
  readonly exposureSeconds: Seconds | null;
  readonly airmass: number | null;
  /** Where the frame's middle is. */
  readonly place: SkyPlace | null;
  /** By the header; without it, by the file's time and the exposure. */
  readonly startUnixMs: UtcMillis;
}

/**
 * Reads a file's header and nothing more.
 * @throws {Refusal} code "fits-unreadable"
 * @throws {Error} what the file system says
 */
export async function readFacts(path: string): Promise<FrameFacts> {
  const reader = await ByteReader.open({ path });
  try {
    const { cards, width, height } = await findImage(reader);
    const { mtimeMs } = await stat(path);
    return factsOf(cards, { width, height }, Math.round(mtimeMs));
  } finally {
    reader.close();
  }
}

/** @param writtenUnixMs when the file was written */
export function factsOf(
  cards: readonly Card[],
  { width, height }: { readonly width: number; readonly height: number },
  writtenUnixMs: UtcMillis,
): FrameFacts {
  const exposureSeconds = numberOf(cards, "EXPTIME") ?? numberOf(cards, "EXPOSURE");
  const world = worldCoordinates(cards);
  return {
    object: textOf(cards, "OBJECT"),
    filter: textOf(cards, "FILTER"),
    exposureSeconds: exposureSeconds !== null && exposureSeconds >= 0 ? exposureSeconds : null,
    airmass: numberOf(cards, "AIRMASS"),
    place: world ? world.toSky({ x: (width - 1) / 2, y: (height - 1) / 2 }) : pointedAt(cards),
    startUnixMs: startOf(cards) ?? writtenUnixMs - Math.round((exposureSeconds ?? 0) * SECOND),
  };
}

/** The mount's own word: degrees as numbers, else sexagesimal text, hours first. */
function pointedAt(cards: readonly Card[]): SkyPlace | null {
  const [ra, dec] = [numberOf(cards, "RA"), numberOf(cards, "DEC")];
  if (ra !== null && dec !== null) return within(ra, dec);
  for (const [first, second] of [
    ["OBJCTRA", "OBJCTDEC"],
    ["RA", "DEC"],
  ] as const) {
    const read = readCoordinates(`${textOf(cards, first) ?? ""} ${textOf(cards, second) ?? ""}`);
    if (read && !("problem" in read)) return { raDegrees: read.raDegrees, decDegrees: read.decDegrees };
  }
  const [x, y] = [numberOf(cards, "CRVAL1"), numberOf(cards, "CRVAL2")];
  return x !== null && y !== null ? within(x, y) : null;
}

function within(raDegrees: Degrees, decDegrees: Degrees): SkyPlace | null {
  return raDegrees >= 0 && raDegrees <= 360 && Math.abs(decDegrees) <= 90 ? { raDegrees, decDegrees } : null;
}

/** DATE-OBS with its time, or with TIME-OBS beside it; UTC, which has no letter (FITS Standard 4.0, section 9.1.1). */
function startOf(cards: readonly Card[]): UtcMillis | null {
  const date = textOf(cards, "DATE-OBS") ?? "";
  const time = textOf(cards, "TIME-OBS") ?? textOf(cards, "UT");
  const whole = /^\d{4}-\d{2}-\d{2}$/.test(date) && time !== null ? `${date}T${time}` : date;
  if (!/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d+)?)?Z?$/.test(whole)) return null;
  const unixMs = Date.parse(whole.endsWith("Z") ? whole : `${whole}Z`);
  return Number.isFinite(unixMs) ? unixMs : null;
}

function numberOf(cards: readonly Card[], keyword: string): number | null {
  const value = cardValue(cards, keyword);
  return typeof value === "number" ? value : null;
}

/** Short, and without what no name has. */
function textOf(cards: readonly Card[], keyword: string): string | null {
  const value = cardValue(cards, keyword);
  const text =
    typeof value === "string"
      ? value
          .replace(/[^\x20-\x7e]/g, "")
          .trim()
          .slice(0, 200)
      : "";
  return text === "" ? null : text;
}
