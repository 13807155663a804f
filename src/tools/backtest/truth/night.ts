/** One night as it really goes: who asks and gives up, when cloud comes, what each action takes and how it ends. */
import { HOUR, MINUTE, type Millis, type UtcMillis } from "../../../base/units.js";
import type { Observatory } from "../../../observatory/observatory.js";
import type { Request } from "../../../queue/request.js";
import type { Night } from "../../../sky/night.js";
import type { Target } from "../../../sky/target.js";
import { arrivalsOf } from "./arrivals.js";
import { type CloudSpell, cloudOf } from "./cloud.js";
import { logNormal, streamFor } from "./draws.js";
import { type Hours, hoursOf } from "./hours.js";
import { type MachinesTonight, machinesTonight, type TrueMachines, trueMachines } from "./machines.js";
import type { Truth } from "./parameters.js";
import { type Wisher, wisher } from "./wishes.js";

/** How an action ends. */
export type Fate =
  | { readonly fails: false }
  /** The camera fails: repaired after `repairMs`; the request goes back to the queue or is given up. */
  | { readonly fails: true; readonly again: boolean; readonly repairMs: Millis };

export interface TruthNight {
  readonly night: Night;
  readonly hours: Hours;
  readonly observatory: Observatory;
  /** In order of asking. */
  readonly requests: readonly Request[];
  /** When a request is withdrawn if it still waits then; Infinity for never. */
  withdrawnUnixMs(request: Request): UtcMillis;
  readonly cloud: readonly CloudSpell[];
  readonly times: TrueMachines;
  /** What made the night: for those who may know it. */
  readonly laws: Laws;
  fate(number: number, attempt: number): Fate;
  /** Whether an action's frames are lost when cloud comes while it is under way. */
  lostToCloud(number: number, attempt: number): boolean;
}

/** The laws behind one night: what an oracle is told. */
export interface Laws {
  readonly truth: Truth;
  readonly kind: Truth["cloud"]["kinds"][number];
  readonly machines: MachinesTonight;
  readonly students: number;
  readonly demand: number;
  /** As the class wishes tonight, favourites included. */
  readonly wish: Wisher;
}

/** What makes one night; `seed` alone decides its luck. */
export interface NightMaking {
  readonly truth: Truth;
  readonly night: Night;
  readonly observatory: Observatory;
  /** What can be named, in a fixed order. */
  readonly targets: readonly Target[];
  readonly kind: Truth["cloud"]["kinds"][number];
  readonly students: number;
  /** Times the ordinary demand. */
  readonly demand: number;
  readonly firstNumber: number;
  /** The dome has been mended on an earlier night. */
  readonly isRepaired: boolean;
  readonly seed: number;
}

/** Makes one night. The same making gives the same night. */
export function truthNight(making: NightMaking): TruthNight {
  const { truth, night, observatory, targets, kind, students, demand, seed } = making;
  const { arrivals, cloud } = truth;
  const hours = hoursOf(night, observatory, truth);
  const wish = wisher(truth.wishes, observatory, targets, hours.duskUnixMs, streamFor(seed, 6));
  const machines = machinesTonight(truth.machines, seed, making.isRepaired);
  const observing = { fromUnixMs: hours.duskUnixMs - HOUR, untilUnixMs: hours.dawnUnixMs + HOUR };
  return {
    night,
    hours,
    observatory,
    requests: arrivalsOf(arrivals, making, hours, wish, making.firstNumber, seed),
    cloud: cloudOf(cloud, kind, observing, seed),
    laws: { truth, kind, machines, students, demand, wish },
    ...luckOf(truth, machines, hours, seed),
  };
}

/** What chance does to single requests and actions. */
export type Luck = Pick<TruthNight, "withdrawnUnixMs" | "times" | "fate" | "lostToCloud">;

/** The luck that goes with a seed. */
export function luckOf(
  { failures, arrivals, cloud, machines: laws }: Truth,
  machines: MachinesTonight,
  { duskUnixMs, dawnUnixMs }: Hours,
  seed: number,
): Luck {
  return {
    withdrawnUnixMs: ({ number, askedUnixMs }) => {
      if (arrivals.withdrawnPerHour === 0) return Number.POSITIVE_INFINITY;
      return Math.round(
        askedUnixMs + streamFor(seed, 7, number).exponential(HOUR / arrivals.withdrawnPerHour),
      );
    },
    times: trueMachines(laws, machines, seed, (duskUnixMs + dawnUnixMs) / 2),
    fate: (number, attempt) => {
      const random = streamFor(seed, 8, number, attempt);
      if (random.uniform() >= failures.share) return { fails: false };
      const again = random.uniform() < failures.againShare;
      const repairMinutes = logNormal(failures.repairMedianMinutes, failures.repairSpread, random);
      return { fails: true, again, repairMs: Math.round(repairMinutes * MINUTE) };
    },
    lostToCloud: (number, attempt) => streamFor(seed, 9, number, attempt).uniform() < cloud.lostShare,
  };
}
