/** Completions while an option is being typed: what fits, ranked by what is up now. Quick: no queue is replayed. */
import { wishWords } from "../../notices/words/amounts.js";
import type { Asker, OptionSpec, Suggestion } from "../command.js";
import { accountOf, classmates, groupsOf } from "../people/people.js";
import { mayUse } from "../people/roles.js";
import type { Services } from "../services.js";
import { commandTable } from "../table.js";
import { cleanText } from "./clean-text.js";
import { isActive, label, ownRequests } from "./read-request.js";
import { suggestTargets } from "./suggest-targets.js";

/** What every surface can show. */
const MOST = 25;
const LONGEST_LABEL = 100;

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
      return suggestTargets(typed, asker, services).slice(0, MOST);
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
