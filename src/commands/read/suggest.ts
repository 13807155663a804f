/** Completions while an option is being typed: what fits, ranked by what is up now. Quick: no queue is replayed. */
import { DateTime } from "luxon";
import { MINUTE, type UtcMillis } from "../../base/units.js";
import { wishWords } from "../../notices/words/amounts.js";
import type { Observatory } from "../../observatory/observatory.js";
import type { Target } from "../../sky/target.js";
import type { Asker, OptionSpec, Suggestion } from "../command.js";
import { accountOf, classmates, groupsOf } from "../people/people.js";
import { mayUse } from "../people/roles.js";
import { nightAt } from "../plan/sky-view.js";
import { altitudeNow, type Prospect, prospectOf, showpiecesOf } from "../plan/up-now.js";
import type { Services } from "../services.js";
import { commandTable } from "../table.js";
import { oldElementsWords } from "../words/orbit-words.js";
import { shortName } from "../words/target-words.js";
import { cleanText } from "./clean-text.js";
import { isActive, label, ownRequests } from "./read-request.js";

/** What every surface can show. */
const MOST = 25;
const LONGEST_LABEL = 100;
/** Matches looked at before ranking. */
const LOOKED_AT = 80;
/** Beginnings remembered for a minute. */
const MOST_KEPT = 200;

/**
 * At most 25 suggestions for what has been typed of an option so far; empty for an unknown command or option.
 * Never throws: what cannot be read suggests nothing.
 */
export function suggest(
  command: string,
  option: string,
  typed: string,
  asker: Asker,
  services: Services,
): readonly Suggestion[] {
  const spec = commandTable
    .find((each) => each.name === command.toLowerCase())
    ?.options.find((each) => each.name === option.toLowerCase());
  if (!spec) return [];
  // Someone who types a name of several words may have begun to quote it.
  const text = cleanText(typed.slice(0, 100)).replace(/^["“”„]|["“”]$/g, "");
  return candidates(spec, text, asker, services)
    .slice(0, MOST)
    .map((each) => ({ ...each, label: [...each.label].slice(0, LONGEST_LABEL).join("") }));
}

function candidates(
  spec: OptionSpec,
  typed: string,
  asker: Asker,
  services: Services,
): readonly Suggestion[] {
  const { config, desk } = services;
  switch (spec.kind) {
    case "target":
      return targets(typed, services);
    case "filter":
      return matching(
        typed,
        config.observatory.camera.filters.map((each) => each.name),
      );
    case "request":
      return requests(spec, typed, asker, services);
    case "person":
      return people(typed, asker, services);
    case "choice":
      return choices(spec, typed, asker, services);
    case "date":
      return matching(typed, ["tonight", "tomorrow"]);
    case "text":
      if (spec.completes === "people") return severalPeople(typed, asker, services);
      if (spec.completes === "groups") return matching(typed, groupsOf(asker.classId, desk.state, config));
      if (spec.completes === "commands")
        return matching(
          typed,
          commandTable.filter((each) => mayUse(asker.role, each)).map((each) => each.name),
        );
      return [];
    default:
      return [];
  }
}

/** The same for everyone who has typed the same within a minute: many begin alike when a class is told to try. */
function targets(typed: string, services: Services): readonly Suggestion[] {
  const minute = Math.floor(services.clock.now() / MINUTE);
  let kept = targetsKept.get(services);
  if (kept?.minute !== minute) {
    kept = { minute, byTyped: new Map() };
    targetsKept.set(services, kept);
  }
  const found = kept.byTyped.get(typed) ?? targetsNow(typed, services);
  if (kept.byTyped.size < MOST_KEPT) kept.byTyped.set(typed, found);
  return found;
}

const targetsKept = new WeakMap<
  Services,
  { readonly minute: number; readonly byTyped: Map<string, readonly Suggestion[]> }
>();

/** The name that fits best first: exactly, then one that begins so, then a word of it; of equals what is up now. */
function targetsNow(typed: string, { catalogue, config, clock }: Services): Suggestion[] {
  const { observatory } = config;
  const now = clock.now();
  const night = nightAt(now, observatory);
  const found =
    typed === ""
      ? showpiecesOf(catalogue).map((target) => ({ target, fit: 0 }))
      : catalogue.startingWith(typed, LOOKED_AT);
  const altitudes = new Map(
    found.map(({ target }) => [target, altitudeNow(target, night, now, observatory)] as const),
  );
  const height = (target: Target): number => altitudes.get(target) ?? -90;
  return [...found]
    .sort((a, b) => a.fit - b.fit || height(b.target) - height(a.target))
    .slice(0, MOST)
    .map(({ target, fit }) => ({ fit, prospect: prospectOf(target, now, observatory) }))
    .sort(
      (a, b) =>
        a.fit - b.fit ||
        order(a.prospect, now, observatory) - order(b.prospect, now, observatory) ||
        height(b.prospect.target) - height(a.prospect.target),
    )
    .map(({ prospect }) => ({
      label: prospectLabel(prospect, now, observatory),
      value: prospect.target.kind === "body" ? prospect.target.name : prospect.target.id,
    }));
}

/** What can be observed now, then what is to come tonight, then the rest, last what cannot be pointed at. */
function order({ target, windows }: Prospect, now: UtcMillis, observatory: Observatory): number {
  if (oldElementsWords(target, now, observatory) !== null) return 3;
  const first = windows[0];
  if (!first) return 2;
  return first.openUnixMs <= now ? 0 : 1;
}

/** "M13 · 62° up, best 21:40", "M57 · from 01:20, best 03:10", "M6 · not tonight": times of the site. */
function prospectLabel(
  { target, altitudeDegrees, windows, best }: Prospect,
  now: UtcMillis,
  observatory: Observatory,
): string {
  const zone = observatory.site.timeZone;
  const clock = (unixMs: UtcMillis): string => DateTime.fromMillis(unixMs, { zone }).toFormat("HH:mm");
  const short = shortName(target);
  const name = target.name.includes(short) && target.name !== short ? target.name : short;
  if (oldElementsWords(target, now, observatory) !== null) return `${name} · its orbit here is too old`;
  const first = windows[0];
  if (!first || !best) return `${name} · not tonight`;
  if (first.openUnixMs > now) return `${name} · from ${clock(first.openUnixMs)}, best ${clock(best.unixMs)}`;
  const height = `${Math.round(altitudeDegrees)}° up`;
  return best.unixMs - now < 60_000
    ? `${name} · ${height}, best now`
    : `${name} · ${height}, best ${clock(best.unixMs)}`;
}

function requests(spec: OptionSpec, typed: string, asker: Asker, { desk }: Services): Suggestion[] {
  const { state } = desk;
  const own = ownRequests(state, asker).filter(isActive);
  const numbers = [...(state.taken ? [state.taken.number] : []), ...state.waiting];
  const classes = numbers
    .flatMap((number) => state.requests.get(number) ?? [])
    .filter((each) => each.classId === asker.classId && !own.includes(each));
  const ended = [...state.requests.values()].filter(
    (each) => each.classId === asker.classId && each.state === "failed",
  );
  const offered =
    spec.offer === "own-waiting"
      ? own.filter((each) => each.state === "waiting")
      : spec.offer === "all-active"
        ? [...own, ...classes]
        : ended;
  const wanted = typed.replace(/^#/, "").toLowerCase();
  return offered
    .filter((each) => String(each.number).startsWith(wanted) || label(each).toLowerCase().includes(wanted))
    .map((each) => ({ label: `${label(each)} · ${wishWords(each)}`, value: String(each.number) }));
}

/** What a choice is called where it is made; typed, it is known by its word too. */
function choices(spec: OptionSpec, typed: string, asker: Asker, { venues }: Services): Suggestion[] {
  const labels = spec.labels?.(venues.of(surfaceOf(asker))) ?? {};
  return matching(typed, spec.choices ?? []).map(({ value }) => ({ value, label: labels[value] ?? value }));
}

function surfaceOf({ id }: Asker): string {
  return id.slice(0, id.indexOf(":"));
}

function people(typed: string, asker: Asker, services: Services): Suggestion[] {
  const wanted = typed.toLowerCase();
  return classmates(asker.classId, surfaceOf(asker), services)
    .filter(
      ({ id, name }) => name.toLowerCase().includes(wanted) || accountOf(id).toLowerCase().startsWith(wanted),
    )
    .map(({ id, name }) => ({ label: name, value: id }));
}

/** The last name of a list completed, with what stands before it. */
function severalPeople(typed: string, asker: Asker, services: Services): Suggestion[] {
  const end = Math.max(typed.lastIndexOf(","), typed.lastIndexOf(";")) + 1;
  const before = typed.slice(0, end).trim();
  const named = new Set(before.split(/\s*[,;]\s*/).map((each) => each.toLowerCase()));
  const found = people(typed.slice(end).trim(), asker, services);
  const twins = new Set(
    found.map((each) => each.label).filter((name, index, all) => all.indexOf(name) !== index),
  );
  return found
    .filter(({ label: name, value }) => !named.has(name.toLowerCase()) && !named.has(value.toLowerCase()))
    .map(({ label: name, value }) => {
      const one = twins.has(name) || /[,;]/.test(name) ? value : name;
      const list = before === "" ? one : `${before} ${one}`;
      return { label: list, value: list };
    });
}

function matching(typed: string, words: readonly string[]): Suggestion[] {
  const wanted = typed.toLowerCase();
  const starts = words.filter((each) => each.toLowerCase().startsWith(wanted));
  const contains = words.filter((each) => !starts.includes(each) && each.toLowerCase().includes(wanted));
  return [...starts, ...contains].map((each) => ({ label: each, value: each }));
}
