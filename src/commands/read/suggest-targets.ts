/** Targets while a name is being typed: what fits, what one has asked for lately, what is worth asking for now. */
import { MINUTE, type UtcMillis } from "../../base/units.js";
import type { Observatory } from "../../observatory/observatory.js";
import { remembering } from "../../sky/memo.js";
import type { Target } from "../../sky/target.js";
import type { Asker, Suggestion } from "../command.js";
import { isMine } from "../people/people.js";
import { nightAt } from "../plan/sky-view.js";
import { altitudeNow, isProspectKept, merit, prospectOf, worthAmong, worthAsking } from "../plan/up-now.js";
import type { Services } from "../services.js";
import { oldElementsWords } from "../words/orbit-words.js";
import { shortName } from "../words/target-words.js";

/** What every surface can show. */
const MOST = 25;
/** Matches looked at before ranking. */
const LOOKED_AT = 80;
/** Shown where nothing is typed yet, beside what was asked lately. */
const MOST_WORTH = 12;
/** Of one's own and of the class's late targets each. */
const MOST_LATELY = 3;
/** Windows cost most: of a keystroke's targets so many get theirs; those that have them cost nothing. */
const MOST_FRESH = 2;
/** Beginnings remembered for a minute. */
const MOST_KEPT = 200;

interface Ranked extends Suggestion {
  readonly id: string;
  /** Exactly that name: nothing comes before it. */
  readonly exact: boolean;
}

type Known = Pick<Services, "catalogue" | "config" | "clock" | "desk">;
type Who = Pick<Asker, "id" | "classId">;

/** At most 25 targets, best first; quick: no queue is replayed. */
export function suggestTargets(typed: string, asker: Who, services: Known): readonly Suggestion[] {
  const found = kept(services, typed, () => ranked(typed, services));
  const lately = latelyAsked(asker, services);
  const isLate = new Set(lately.map(({ id }) => id));
  const extra =
    typed === ""
      ? lately
          .filter(({ id }) => !found.some((each) => each.id === id))
          .map(
            (target) => kept(services, `\n${target.id}`, () => labelled([{ target, fit: 1 }], services))[0],
          )
          .flatMap((each) => each ?? [])
      : [];
  const all = [...extra, ...found];
  const late = all.filter(({ id, exact }) => isLate.has(id) && !exact);
  const order = lately.map(({ id }) => id);
  late.sort((a, b) => order.indexOf(a.id) - order.indexOf(b.id));
  return [
    ...all.filter(({ exact }) => exact),
    ...late,
    ...all.filter((each) => !each.exact && !late.includes(each)),
  ]
    .slice(0, MOST)
    .map(({ label, value }) => ({ label, value }));
}

/** One's own latest targets, then the class's; each once. */
function latelyAsked(asker: Who, { desk }: Known): Target[] {
  const own = new Map<string, Target>();
  const others = new Map<string, Target>();
  const requests = [...desk.state.requests.values()];
  for (let at = requests.length - 1; at >= 0; at--) {
    const request = requests[at] as (typeof requests)[number];
    if (request.classId !== asker.classId) continue;
    const list = isMine(request, asker.id) ? own : others;
    if (list.size < MOST_LATELY && !own.has(request.target.id)) list.set(request.target.id, request.target);
    if (own.size === MOST_LATELY && others.size === MOST_LATELY) break;
  }
  return [...new Map([...own, ...others]).values()];
}

/** The same for everyone who types the same within a minute: many begin alike when a class is told to try. */
function kept(services: Known, key: string, make: () => readonly Ranked[]): readonly Ranked[] {
  const minute = Math.floor(services.clock.now() / MINUTE);
  let found = keptOf.get(services);
  if (found?.minute !== minute) {
    found = { minute, byTyped: new Map() };
    keptOf.set(services, found);
  }
  const known = found.byTyped.get(key);
  if (known) return known;
  const made = make();
  if (found.byTyped.size < MOST_KEPT) found.byTyped.set(key, made);
  return made;
}

const keptOf = new WeakMap<
  Known,
  { readonly minute: number; readonly byTyped: Map<string, readonly Ranked[]> }
>();

interface Match {
  readonly target: Target;
  readonly fit: number;
}

/** The name that fits best first; of equals what is up, high, bright and known. A constellation's name brings what is in it. */
function ranked(typed: string, services: Known): readonly Ranked[] {
  const { catalogue, config, clock } = services;
  const { observatory } = config;
  const now = clock.now();
  if (typed === "") {
    const worth = worthAsking(catalogue, now, observatory, MOST_WORTH);
    return labelled(
      worth.map(({ target }) => ({ target, fit: 1 })),
      services,
    );
  }
  const night = nightAt(now, observatory);
  const looked = catalogue.lookUp(typed);
  const several = "several" in looked ? looked.several.members : [];
  const members = several.length > 0 ? worthAmong(several, now, observatory, MOST_LATELY).now : [];
  const found = [
    ...members.map(({ target }) => ({ target, fit: 1, height: 90 })),
    ...catalogue.startingWith(typed, LOOKED_AT).map((match) => ({
      ...match,
      height: altitudeNow(match.target, night, now, observatory),
    })),
  ];
  const limit = observatory.limits.altitudeDegrees;
  const place = ({ target, height }: (typeof found)[number]): number =>
    oldElementsWords(target, now, observatory) !== null ? 2 : height >= limit ? 0 : 1;
  found.sort(
    (a, b) =>
      a.fit - b.fit || place(a) - place(b) || merit(b.target, b.height, now) - merit(a.target, a.height, now),
  );
  const each = new Map(found.map((match) => [match.target, match] as const));
  return labelled([...each.values()].slice(0, MOST), services);
}

function labelled(matches: readonly Match[], { config, clock }: Known): Ranked[] {
  const { observatory } = config;
  const now = clock.now();
  let fresh = 0;
  return matches.map(({ target, fit }) => {
    const known = isProspectKept(target, now, observatory) || fresh++ < MOST_FRESH;
    return {
      ...{ id: target.id, exact: fit === 0, value: shortName(target) },
      label: [nameIn(target), kindOf(target), whenWords(target, now, observatory, known)].join(" · "),
    };
  });
}

function nameIn(target: Target): string {
  const short = shortName(target);
  return target.name.includes(short) && target.name !== short ? target.name : short;
}

function kindOf(target: Target): string {
  return target.id === "pluto" ? "dwarf planet" : target.type;
}

const clockOf = remembering(
  4,
  (timeZone: string) =>
    new Intl.DateTimeFormat("en-GB", { timeZone, hour: "2-digit", minute: "2-digit", hourCycle: "h23" }),
);

/** "62° up, best 21:40", "3° up, from 01:20, best 03:10", "below the horizon, not tonight": times of the site. */
function whenWords(target: Target, now: UtcMillis, observatory: Observatory, withTimes: boolean): string {
  if (oldElementsWords(target, now, observatory) !== null) return "its orbit here is too old";
  const clock = (unixMs: UtcMillis): string => clockOf(observatory.site.timeZone).format(unixMs);
  const altitude = Math.round(altitudeNow(target, nightAt(now, observatory), now, observatory));
  const height = altitude < 0 ? "below the horizon" : `${altitude}° up`;
  if (!withTimes) return height;
  const { windows, best } = prospectOf(target, now, observatory);
  const first = windows[0];
  if (!first || !best) return `${height}, not tonight`;
  const bestWords = best.unixMs - now < MINUTE ? "best now" : `best ${clock(best.unixMs)}`;
  return first.openUnixMs > now
    ? `${height}, from ${clock(first.openUnixMs)}, ${bestWords}`
    : `${height}, ${bestWords}`;
}
