/** The invented class at the practice telescope: each evening its students ask for things that are up. */
import type { CallOff, Clock } from "../../base/clock.js";
import { type Random, seededRandom } from "../../base/random.js";
import { HOUR, MINUTE, type UtcMillis } from "../../base/units.js";
import type { Config } from "../../config/config.js";
import { type Member, membersOf } from "../../config/members.js";
import { windowsOf } from "../../observatory/window.js";
import type { Address } from "../../queue/request.js";
import type { Catalogue } from "../../sky/names/catalogue.js";
import { type Night, nightOf } from "../../sky/night.js";
import type { Target } from "../../sky/target.js";
import type { GivenCommand, RunningTelescope } from "../link.js";

export interface ClassmatesParts {
  readonly config: Config;
  readonly catalogue: Catalogue;
  readonly clock: Clock;
  /** Runs a command as one of the class, as any surface does. */
  readonly run: RunningTelescope["run"];
  readonly home: Address;
  /** Not simulated: the one who types. */
  readonly except: string;
}

/** How many ask before the newcomer has typed a word, and how the others follow. */
const AT_ONCE = 6;
const MEAN_GAP = 3 * MINUTE;
const REQUESTS_EACH = 2;
/** The class shares this many favourites, so that some ask for the same target. */
const FAVOURITES = 10;

/**
 * Lets the class ask through the same commands as anyone, at seeded instants from `duskUnixMs` on. Each
 * wish carries its own once key, so that a restart asks for nothing twice.
 */
export function startClassmates(parts: ClassmatesParts, duskUnixMs: UtcMillis): CallOff {
  const { config, clock, run, home, except } = parts;
  const teachingClass = config.classes[0];
  if (!teachingClass) return () => {};
  const night = nightOf(duskUnixMs, config.observatory.site.timeZone);
  const random = seededRandom(config.telescope.practice.seed + Number(night.date.replaceAll("-", "")));
  const favourites = chooseFavourites(parts, night, duskUnixMs, random);
  const students = shuffled(
    membersOf(teachingClass, home.surface).filter((each) => each.role === "student" && each.id !== except),
    random,
  );
  if (favourites.length === 0) return () => {};
  let askUnixMs = duskUnixMs;
  const callOffs: CallOff[] = [];
  for (let round = 1; round <= REQUESTS_EACH; round++) {
    students.forEach((student, index) => {
      if (round > 1 || index >= AT_ONCE) askUnixMs += random.exponential(MEAN_GAP);
      const call = callFor(
        student,
        favourites,
        config,
        random,
        home,
        `practice:${night.date}:${student.id}:${round}`,
      );
      callOffs.push(clock.at(Math.round(askUnixMs), () => void askOrJoin(call, run)));
    });
  }
  return () => {
    for (const callOff of callOffs) callOff();
  };
}

/** Asks; where a classmate has asked for the same frames, joins them as the answer offers. */
async function askOrJoin(call: GivenCommand, run: ClassmatesParts["run"]): Promise<void> {
  const { actions = [] } = await run(call);
  const offer = actions.find(({ command }) => command === "join");
  if (!offer) return;
  await run({ ...call, command: offer.command, options: offer.options, onceKey: `${call.onceKey}:join` });
}

/** Bright, well-known targets that stay up for at least an hour from dusk. */
function chooseFavourites(
  parts: ClassmatesParts,
  night: Night,
  fromUnixMs: UtcMillis,
  random: Random,
): Target[] {
  const { catalogue, config } = parts;
  const suits = catalogue.targets.filter(
    (target) =>
      target.kind === "fixed" &&
      /^M\d/.test(target.id) &&
      (target.magnitude ?? 99) < 9.5 &&
      windowsOf(target, night, config.observatory).some(
        (window) => window.openUnixMs <= fromUnixMs + MINUTE && window.closeUnixMs >= fromUnixMs + HOUR,
      ),
  );
  return shuffled(suits, random).slice(0, FAVOURITES);
}

function callFor(
  asker: Member,
  favourites: readonly Target[],
  config: Config,
  random: Random,
  from: Address,
  onceKey: string,
): GivenCommand {
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random.uniform() * list.length)] as T;
  const options = {
    target: pick(favourites).id,
    filter: pick(config.observatory.camera.filters.slice(0, 4)).name,
    exposure: pick([10, 20, 20, 30]),
    frames: pick([1, 1, 2]),
  };
  return { command: "request", options, asker, from, onceKey };
}

function shuffled<T>(list: readonly T[], random: Random): T[] {
  return list
    .map((each) => ({ each, key: random.uniform() }))
    .sort((a, b) => a.key - b.key)
    .map(({ each }) => each);
}
