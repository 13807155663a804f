/** Frames that people hand over: kept and judged like any other, begun when their own header says. */
import { SECOND, type UtcMillis } from "../../base/units.js";
import type { FrameRecord } from "../../journal/events.js";
import type { Request } from "../../queue/request.js";
import type { LinkHost } from "../link.js";
import { ByteReader, type FitsSource } from "./byte-reader.js";
import { type Card, cardText } from "./fits-cards.js";
import { findImage } from "./fits-headers.js";
import { frameOrder } from "./frame-order.js";
import type { FrameStore } from "./frame-store.js";

/**
 * Keeps one as a frame of a request.
 * @param index 1-based
 * @throws {Refusal} code "fits-unreadable"; any other error when it cannot be read or written
 */
export async function keepHanded(
  request: Request,
  index: number,
  source: FitsSource,
  store: Pick<FrameStore<FitsSource>, "keep">,
  { state, config, clock }: LinkHost,
): Promise<FrameRecord> {
  // Without a word of its own, one after the other.
  const afterOthers = (index - 1) * Math.round(request.exposureSeconds * SECOND);
  const startUnixMs = (await beganAt(source)) ?? (request.takenUnixMs ?? clock.now()) + afterOthers;
  return store.keep(frameOrder({ request, index, startUnixMs }, state(), config), source);
}

async function beganAt(source: FitsSource): Promise<UtcMillis | null> {
  const reader = await ByteReader.open(source);
  try {
    return exposureStart((await findImage(reader)).cards);
  } finally {
    reader.close();
  }
}

/**
 * DATE-OBS with its time, or with TIME-OBS beside it; UTC, which has no letter (FITS Standard 4.0, section 9.1.1).
 * null where the header has none that can be read.
 */
export function exposureStart(cards: readonly Card[]): UtcMillis | null {
  const date = cardText(cards, "DATE-OBS") ?? "";
  const time = cardText(cards, "TIME-OBS") ?? cardText(cards, "UT");
  const whole = /^\d{4}-\d{2}-\d{2}$/.test(date) && time !== null ? `${date}T${time}` : date;
  if (!/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d+)?)?Z?$/.test(whole)) return null;
  const unixMs = Date.parse(whole.endsWith("Z") ? whole : `${whole}Z`);
  return Number.isFinite(unixMs) ? unixMs : null;
}
