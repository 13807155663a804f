/** The central forecast, small and large, beside the bare loop measured in the same run. */
import { playNight } from "../../forecast/play-night.js";
import { bareLoop } from "./bare-loop.js";
import { benchNight } from "./bench-night.js";
import { medianTimes } from "./median-times.js";
import { atMost, type BenchRow, figure } from "./row.js";

const SIZES = [
  { requests: 300, targets: 60, limitMs: 2, iterations: 500, limitRatio: 4 },
  { requests: 10_000, targets: 200, limitMs: 45, iterations: 50, limitRatio: 2.5 },
] as const;

export async function centralForecast(): Promise<readonly BenchRow[]> {
  const rows: BenchRow[] = [];
  for (const size of SIZES) rows.push(...(await rowsOf(size)));
  return rows;
}

async function rowsOf(size: (typeof SIZES)[number]): Promise<readonly BenchRow[]> {
  const { requests, targets, limitMs, iterations, limitRatio } = size;
  const night = benchNight(requests, targets);
  const { turns } = playNight(night);
  if (turns.length !== requests) throw new Error(`only ${turns.length} of ${requests} requests got a turn`);
  const { central, bare } = await medianTimes(
    { central: () => playNight(night), bare: bareLoop(night) },
    iterations,
  );
  const name = `${requests} requests, ${targets} targets`;
  const ratioName = `central forecast ÷ bare loop, ${name}`;
  const ratio = central / bare;
  return [
    atMost(`central forecast, ${name}`, central, "ms", limitMs),
    figure(`bare loop, ${name}`, bare, "ms"),
    atMost(ratioName, ratio, "×", limitRatio),
  ];
}
