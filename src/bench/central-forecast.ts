/** The central forecast, small and large, beside the bare loop measured in the same run. */
import { playNight } from "../forecast/play-night.js";
import { bareLoop } from "./bare-loop.js";
import { benchNight } from "./bench-night.js";
import { atMost, type BenchRow, figure, medianMs } from "./row.js";

const SIZES = [
  { requests: 300, targets: 60, limitMs: 2, times: 200, limitRatio: null },
  { requests: 10_000, targets: 200, limitMs: 45, times: 25, limitRatio: 3 },
] as const;

export function centralForecast(): readonly BenchRow[] {
  return SIZES.flatMap(({ requests, targets, limitMs, times, limitRatio }) => {
    const night = benchNight(requests, targets);
    const { turns } = playNight(night);
    if (turns.length !== requests) throw new Error(`only ${turns.length} of ${requests} requests got a turn`);
    const loop = bareLoop(night);
    const name = `${requests} requests, ${targets} targets`;
    const centralMs = medianMs(() => playNight(night), times);
    const bareMs = medianMs(loop, times);
    const ratio = centralMs / bareMs;
    const ratioName = `central forecast ÷ bare loop, ${name}`;
    return [
      atMost(`central forecast, ${name}`, centralMs, "ms", limitMs),
      figure(`bare loop, ${name}`, bareMs, "ms"),
      limitRatio === null ? figure(ratioName, ratio, "×") : atMost(ratioName, ratio, "×", limitRatio),
    ];
  });
}
