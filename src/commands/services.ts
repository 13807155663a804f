/** What a command may use: handed in, nothing global. */
import type { Clock } from "../base/clock.js";
import type { Log } from "../base/log.js";
import type { UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import type { ForecastService } from "../estimates/forecast-service.js";
import type { Desk } from "../journal/desk.js";
import type { FrameRecord } from "../journal/events.js";
import type { TelescopeStatus } from "../journal/telescope-status.js";
import type { Venues } from "../notices/venues.js";
import type { Pictures } from "../pictures/pictures.js";
import type { Request } from "../queue/request.js";
import type { Catalogue } from "../sky/names/catalogue.js";

/**
 * Judges and keeps one frame.
 * @param index 1-based
 * @throws {Refusal} when it cannot be read
 */
export type KeepFrame = (
  request: Request,
  index: number,
  file: { readonly path: string },
) => Promise<FrameRecord>;

export interface Services {
  readonly desk: Desk;
  readonly clock: Clock;
  readonly config: Config;
  readonly catalogue: Catalogue;
  readonly forecast: ForecastService;
  readonly pictures: Pictures;
  /** What each surface says of itself. */
  readonly venues: Venues;
  /** What the telescope reports this moment; not journalled. */
  readonly telescope: () => TelescopeStatus;
  /**
   * Does something with frames that an operator hands over: what is kept is the caller's to journal, and no other frame
   * comes in between. Left out where no frames are kept.
   * @throws {Refusal} when the telescope takes none
   */
  readonly handOver?: <T>(work: (keep: KeepFrame) => Promise<T>) => Promise<T>;
  /** Where faults are told to the operator, without personal data; nowhere when left out. */
  readonly log?: Log;
}

/** The services at the instant that an answer speaks of. */
export interface Present extends Services {
  readonly now: UtcMillis;
}
