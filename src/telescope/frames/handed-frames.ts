/** Frames that people hand over: kept and judged like any other, begun when their own header says. */
import { DateTime } from "luxon";
import type { UtcMillis } from "../../base/units.js";
import type { FrameRecord } from "../../journal/events.js";
import type { Request } from "../../queue/request.js";
import type { LinkHost } from "../link.js";
import { ByteReader, type FitsSource } from "./byte-reader.js";
import { cardValue } from "./fits-cards.js";
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
  const startUnixMs = (await beganAt(source)) ?? request.takenUnixMs ?? clock.now();
  return store.keep(frameOrder({ request, index, startUnixMs }, state(), config), source);
}

/** DATE-OBS, UTC as the FITS Standard 4.0 (section 9.1) has it; null where the header has none that can be read. */
async function beganAt(source: FitsSource): Promise<UtcMillis | null> {
  const reader = await ByteReader.open(source);
  try {
    const { cards } = await findImage(reader);
    const began = DateTime.fromISO(String(cardValue(cards, "DATE-OBS") ?? ""), { zone: "utc" });
    return began.isValid ? began.toMillis() : null;
  } finally {
    await reader.close();
  }
}
