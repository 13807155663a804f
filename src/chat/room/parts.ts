/** What the parts of the room share. */
import type { Clock } from "../../base/clock.js";
import type { SurfaceHost } from "../surface.js";
import type { OneTimeCodes } from "./door/codes.js";
import type { Tokens } from "./door/tokens.js";
import type { Handouts } from "./serve/handouts.js";
import type { Uploads } from "./serve/uploads.js";

export interface RoomParts {
  readonly host: SurfaceHost;
  /** The class that meets here. */
  readonly classId: string;
  /** Further names under which browsers may ask for this machine. */
  readonly hostNames: readonly string[];
  readonly tokens: Tokens;
  readonly codes: OneTimeCodes;
  readonly handouts: Handouts;
  readonly uploads: Uploads;
  /** Real time. */
  readonly real: Clock;
}
