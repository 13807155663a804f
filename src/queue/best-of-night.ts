/** When, within its windows, each group's target stands highest. */
import type { UtcMillis } from "../base/units.js";
import type { SkyInstant } from "../sky/sky-instant.js";
import type { GroupSky } from "./group-sky.js";
import type { Group } from "./queue-table.js";

export interface BestOfNight {
  /** By group: the instant, and the sine of the altitude then; −Infinity where no window opens. */
  readonly unixMs: Float64Array;
  readonly sine: Float64Array;
}

/** Instants looked at in each window, beside its opening. */
const SAMPLES = 24;

/** To about a twenty-fifth of a window. `instant` is scratch. */
export function bestOfNight(groups: readonly Group[], sky: GroupSky, instant: SkyInstant): BestOfNight {
  const unixMs = new Float64Array(groups.length).fill(Number.NEGATIVE_INFINITY);
  const sine = new Float64Array(groups.length).fill(Number.NEGATIVE_INFINITY);
  const consider = (group: number, atUnixMs: UtcMillis): void => {
    instant.moveTo(atUnixMs);
    const reached = sky.sine(group, instant);
    if (reached <= sine[group]!) return;
    unixMs[group] = atUnixMs;
    sine[group] = reached;
  };
  groups.forEach(({ night }, group) => {
    for (const { openUnixMs, closeUnixMs } of night.windows)
      for (let sample = 0; sample <= SAMPLES; sample++)
        consider(group, openUnixMs + ((closeUnixMs - openUnixMs) * sample) / SAMPLES);
  });
  return { unixMs, sine };
}
