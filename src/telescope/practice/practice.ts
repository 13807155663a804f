/** The practice observatory as a whole: its clock, its link, the invented class, and daylight skipped. */
import type { CallOff } from "../../base/clock.js";
import type { Config } from "../../config/config.js";
import type { RunningTelescope, Telescope } from "../link.js";
import { startClassmates } from "./classmates.js";
import { openFrames } from "./frames.js";
import { PracticeLink, practiceTraits } from "./link.js";
import { practiceStart, watchForDaylight } from "./practice-night.js";

/** @param speed practice seconds for one real second; null: the configuration's */
export function practiceTelescope(config: Config, folder: string, speed: number | null): Telescope {
  const { observatory, telescope } = config;
  const frames = openFrames(config, folder);
  return {
    speed: speed ?? telescope.practice.speed,
    startUnixMs: (realUnixMs, lastEntryUnixMs) => practiceStart(realUnixMs, lastEntryUnixMs, observatory),
    link: (clock) =>
      new PracticeLink({
        frames,
        makeFrame: (order) => frames.makeFrame(order),
        pauseClock: () => clock.pause(),
        traits: { ...practiceTraits, inventedClass: telescope.practice.classmates },
      }),
    begin: (running, except) => beginEvenings(running, config, except),
  };
}

/** Lets the class ask (all but `except`, who types) and the clock skip daylight, evening after evening. */
function beginEvenings(
  { run, state, catalogue, clock }: RunningTelescope,
  config: Config,
  except: string,
): CallOff {
  const { observatory, telescope } = config;
  const home = { surface: "terminal", channel: "main" };
  let callOffs: CallOff[] = [];
  const callOffAll = (): void => {
    for (const callOff of callOffs) callOff();
  };
  const onEvening = (): void => {
    callOffAll();
    const isIdle = (): boolean => state().taken === null;
    callOffs = [watchForDaylight({ clock, observatory, isIdle, onEvening })];
    if (telescope.practice.classmates)
      callOffs.push(startClassmates({ config, catalogue, clock, run, except, home }, clock.now()));
  };
  onEvening();
  return callOffAll;
}
