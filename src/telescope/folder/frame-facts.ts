/** What a camera program's header says of a frame: read as many programs write it. */
import { stat } from "node:fs/promises";
import { type Degrees, SECOND, type Seconds, type UtcMillis } from "../../base/units.js";
import { readCoordinates } from "../../sky/names/coordinates-text.js";
import { ByteReader } from "../frames/byte-reader.js";
import { type Card, cardText, cardValue } from "../frames/fits-cards.js";
import { findImage } from "../frames/fits-headers.js";
import { exposureStart } from "../frames/handed-frames.js";
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
    object: cardText(cards, "OBJECT"),
    filter: cardText(cards, "FILTER"),
    exposureSeconds: exposureSeconds !== null && exposureSeconds >= 0 ? exposureSeconds : null,
    airmass: numberOf(cards, "AIRMASS"),
    place: world ? world.toSky({ x: (width - 1) / 2, y: (height - 1) / 2 }) : pointedAt(cards),
    startUnixMs: exposureStart(cards) ?? writtenUnixMs - Math.round((exposureSeconds ?? 0) * SECOND),
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
    const read = readCoordinates(`${cardText(cards, first) ?? ""} ${cardText(cards, second) ?? ""}`);
    if (read && !("problem" in read)) return { raDegrees: read.raDegrees, decDegrees: read.decDegrees };
  }
  const [x, y] = [numberOf(cards, "CRVAL1"), numberOf(cards, "CRVAL2")];
  return x !== null && y !== null ? within(x, y) : null;
}

function within(raDegrees: Degrees, decDegrees: Degrees): SkyPlace | null {
  return raDegrees >= 0 && raDegrees <= 360 && Math.abs(decDegrees) <= 90 ? { raDegrees, decDegrees } : null;
}

function numberOf(cards: readonly Card[], keyword: string): number | null {
  const value = cardValue(cards, keyword);
  return typeof value === "number" ? value : null;
}
