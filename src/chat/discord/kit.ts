/** What the parts of a session share. */
import type { Clock } from "../../base/clock.js";
import type { Log } from "../../base/log.js";
import type { ReceivedFiles } from "../received-files.js";
import type { SurfaceHost } from "../surface.js";
import type { Api } from "./api.js";
import type { Place } from "./hear/place.js";
import type { Turns } from "./hear/turns.js";
import type { Memory } from "./memory.js";
import type { CommandSource } from "./set-up/registration.js";

export interface Kit {
  readonly api: Api;
  readonly host: SurfaceHost;
  /** Where the classes meet. */
  readonly places: readonly Place[];
  readonly source: CommandSource;
  readonly memory: Memory;
  readonly turns: Turns;
  /** Files that were attached to commands, while those run. */
  readonly received: ReceivedFiles;
  /** Real time: the platform counts, and remembers nonces, in real seconds, however fast the host's clock runs. */
  readonly realClock: Clock;
  readonly log: Log;
  /** Tells the operator. */
  readonly say: (line: string) => void;
}
