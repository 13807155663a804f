/** The practice observatory as a whole: its link, the invented class, and daylight skipped. */
import type { CallOff, ScaledClock } from "../../base/clock.js";
import type { Log } from "../../base/log.js";
import type { Config } from "../../config/config.js";
import type { Desk } from "../../journal/desk.js";
import type { Catalogue } from "../../sky/names/catalogue.js";
import { type ClassmatesParts, startClassmates } from "./classmates.js";
import { openFrames, type PracticeFrames } from "./frames.js";
import { PracticeLink } from "./link.js";
import { watchForDaylight } from "./practice-night.js";

/** What of the running program the practice evening needs. */
export interface Evening {
  readonly services: { readonly desk: Desk; readonly catalogue: Catalogue; readonly log?: Log };
  readonly host: Pick<ClassmatesParts, "run">;
  readonly clock: ScaledClock;
}

export interface Practice {
  link(clock: ScaledClock): PracticeLink;
  /** Lets the class ask (all but `except`, who types) and the clock skip daylight. */
  begin(running: Evening, except: string): void;
  stop(): Promise<void>;
}

/** Made before the journal is open; nothing runs until `begin`. */
export function startPractice(config: Config, folder: string): Practice {
  const frames = openFrames(config, folder);
  const callOffs: CallOff[] = [];
  const ends: CallOff[] = [];
  const callOffAll = (): void => {
    for (const callOff of callOffs.splice(0)) callOff();
  };
  return {
    link: (clock) =>
      new PracticeLink({
        makeFrame: (order) => frames.makeFrame(order),
        pauseClock: () => clock.pause(),
      }),
    begin: (running, except) => {
      ends.push(removeOldFrames(running, frames));
      const evening = (): void => {
        callOffAll();
        callOffs.push(beginEvening(running, config, except));
        callOffs.push(
          watchForDaylight({
            clock: running.clock,
            observatory: config.observatory,
            isIdle: () => running.services.desk.state.taken === null,
            onEvening: evening,
          }),
        );
      };
      evening();
    },
    stop: async () => {
      callOffAll();
      for (const end of ends.splice(0)) end();
      await frames.close();
    },
  };
}

/** At the noon roll, files of nights past the configuration's `keepDays` go. */
function removeOldFrames({ services: { desk, log } }: Evening, frames: PracticeFrames): CallOff {
  return desk.listen(({ events }) => {
    for (const event of events) {
      if (event.type !== "night.began") continue;
      frames.removeOld(event.date).catch((error: Error) => {
        log?.warn({ reason: error.message }, "old frames could not be removed; they are tried again at noon");
      });
    }
  });
}

function beginEvening(running: Evening, config: Config, except: string): CallOff {
  if (!config.telescope.practice.classmates) return () => {};
  const { services, host, clock } = running;
  const parts = { config, catalogue: services.catalogue, clock, run: host.run, except };
  return startClassmates({ ...parts, home: { surface: "terminal", channel: "main" } }, clock.now());
}
