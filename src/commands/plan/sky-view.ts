/** The sky as answers need it: tonight, when it is dark, what is left of a target's windows. */
import type { UtcMillis } from "../../base/units.js";
import { nightSkyOf } from "../../observatory/night-sky.js";
import type { Observatory, Window } from "../../observatory/observatory.js";
import { windowsOf } from "../../observatory/window.js";
import { type Interval, remaining } from "../../sky/interval.js";
import { type Night, nightOf } from "../../sky/night.js";
import type { Target } from "../../sky/target.js";

/** The night that an instant belongs to, at the observatory. */
export function nightAt(unixMs: UtcMillis, observatory: Observatory): Night {
  return nightOf(unixMs, observatory.site.timeZone);
}

/** The stretches of a night in which it is dark enough for faint targets, in order; empty when it never is. */
export function darkHoursOf(night: Night, observatory: Observatory): readonly Interval[] {
  return nightSkyOf(night, observatory).dark;
}

/** What is left of a target's windows after `fromUnixMs`, in order. */
export function windowsFrom(
  target: Target,
  night: Night,
  observatory: Observatory,
  fromUnixMs: UtcMillis,
): Window[] {
  return remaining(windowsOf(target, night, observatory), fromUnixMs);
}
