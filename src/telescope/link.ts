/** How a telescope, of whatever kind, is joined to the queue. */
import type { Clock } from "../base/clock.js";
import type { Log } from "../base/log.js";
import type { Config } from "../config/config.js";
import type { ForecastService } from "../estimates/forecast-service.js";
import type { Desk } from "../journal/desk.js";
import type { TelescopeStatus } from "../journal/telescope-status.js";

export interface LinkHost {
  readonly desk: Desk;
  readonly clock: Clock;
  readonly config: Config;
  readonly forecast: ForecastService;
  /** Folder for frames and previews. */
  readonly dataFolder: string;
  readonly log: Log;
}

/**
 * A link asks `forecast.nextStep()`, journals `request.taken`, `frame.done`, `overheads.measured`,
 * `request.completed` or `request.failed` through the desk, and looks again whenever the desk has news.
 */
export interface TelescopeLink {
  readonly name: string;
  start(host: LinkHost): Promise<void>;
  status(): TelescopeStatus;
  /** Finishes nothing: stops looking, calls off timers. A request in progress is taken up again at the next start. */
  stop(): Promise<void>;
}
