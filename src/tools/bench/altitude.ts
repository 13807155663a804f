/** An altitude in the night engine's inner loop against one from the ephemeris library. */
import { Equator, Horizon } from "astronomy-engine";
import { MINUTE } from "../../base/units.js";
import { GroupSky } from "../../queue/group-sky.js";
import { targetNights } from "../../queue/target-night.js";
import { bodyOf, observerOf, timeOf } from "../../sky/ephemeris.js";
import { SkyInstant } from "../../sky/sky-instant.js";
import { benchNight } from "./bench-night.js";
import { medianTimes } from "./median-times.js";
import { atLeast, type BenchRow, figure } from "./row.js";

const DECISIONS = 500;
const LIBRARY_CALLS = 2_000;
const LEAST_RATIO = 100;

export async function altitude(): Promise<readonly BenchRow[]> {
  const night = benchNight(200, 60);
  const { site } = night.observatory;
  const nights = targetNights(night.nowUnixMs, night.observatory);
  const found = [...new Set(night.waiting.map((request) => nights(request.target)))];
  const groups = found.map((targetNight) => ({ tier: 1, night: targetNight }));
  const sky = new GroupSky(groups);
  const instant = new SkyInstant(site);
  let sum = 0;

  const inner = (): void => {
    for (let decision = 0; decision < DECISIONS; decision++) {
      instant.moveTo(night.nowUnixMs + decision * MINUTE);
      for (let group = 0; group < groups.length; group++) sum += sky.sine(group, instant);
    }
  };
  const observer = observerOf(site);
  const body = bodyOf("Jupiter");
  const library = (): void => {
    for (let call = 0; call < LIBRARY_CALLS; call++) {
      const time = timeOf(night.nowUnixMs + call * MINUTE);
      const { ra, dec } = Equator(body, time, observer, true, true);
      sum += Horizon(time, observer, ra, dec).altitude;
    }
  };

  const times = await medianTimes({ inner, library }, 50);
  const innerNs = (times.inner * 1e6) / (DECISIONS * groups.length);
  const libraryNs = (times.library * 1e6) / LIBRARY_CALLS;
  if (!Number.isFinite(sum)) throw new Error("an altitude is not a number");
  return [
    figure("altitude in the inner loop", innerNs, "ns"),
    figure("altitude by the library (Equator + Horizon)", libraryNs, "ns"),
    atLeast("library ÷ inner loop", libraryNs / innerNs, "×", LEAST_RATIO),
  ];
}
