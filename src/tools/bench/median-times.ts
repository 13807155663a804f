/** How long pieces of work take, warm, side by side in the same run. */
import { Bench } from "tinybench";
import { median } from "./row.js";

/** The pieces take turns this often, so that a busy moment of the machine does not fall on one of them alone. */
const ROUNDS = 5;

/** Milliseconds by name: medians of `iterations` warm runs each. */
export async function medianTimes<Name extends string>(
  work: Readonly<Record<Name, () => unknown>>,
  iterations: number,
): Promise<Record<Name, number>> {
  const names = Object.keys(work) as Name[];
  const rounds: Record<string, number>[] = [];
  for (let round = 0; round < ROUNDS; round++)
    rounds.push(await oneRound(work, Math.ceil(iterations / ROUNDS)));
  const times = names.map((name) => [name, median(rounds.map((each) => each[name] as number))]);
  return Object.fromEntries(times) as Record<Name, number>;
}

async function oneRound(
  work: Readonly<Record<string, () => unknown>>,
  iterations: number,
): Promise<Record<string, number>> {
  const bench = new Bench({ iterations, time: 0, warmupIterations: iterations, warmupTime: 0 });
  for (const [name, run] of Object.entries(work)) bench.add(name, run);
  await bench.run();
  return Object.fromEntries(
    bench.tasks.map(({ name, result }) => {
      if (result.state !== "completed") throw new Error(`${name} could not be measured`);
      return [name, result.latency.p50];
    }),
  );
}
