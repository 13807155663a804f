/** How long a cancellation can be taken back: for a person to react, so in real time, however fast the clock runs. */
import type { Clock } from "../base/clock.js";
import { DAY, type Millis, SECOND, type UtcMillis } from "../base/units.js";
import type { Services } from "./services.js";

/**
 * Until when a cancellation of an instant can be undone: `undoSeconds` on the reader's watch. A faster clock
 * that races through the night lets nothing be undone after a day.
 */
export function undoneUntil(
  cancelledUnixMs: UtcMillis,
  { config, clock }: Pick<Services, "config" | "clock">,
): UtcMillis {
  return cancelledUnixMs + Math.min(DAY, config.notices.undoSeconds * SECOND * clock.speed);
}

/** A length of the clock's time as it passes on the reader's watch. */
export function onTheWatch(lengthMs: Millis, clock: Clock): Millis {
  return lengthMs / clock.speed;
}
