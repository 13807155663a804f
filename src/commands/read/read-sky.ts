/** Targets and filters as people write them. */

import { button } from "../../base/button.js";
import { listed } from "../../base/english.js";
import { Refusal } from "../../base/refusal.js";
import type { Filter } from "../../observatory/observatory.js";
import type { Catalogue, LookUp } from "../../sky/names/catalogue.js";
import type { Target } from "../../sky/target.js";
import { Offer } from "../offer.js";
import { fullName, shortName } from "../words/target-words.js";
import { nearest } from "./spelling.js";

/** Written names of one line of the spectrum. */
const HYDROGEN_ALPHA = /^(h[-\s]?alpha|h[-\s]?a|hα|h-α)$/i;

/**
 * The target meant by a name or coordinates.
 * @throws {Refusal} codes "sun", "bad-coordinates", "no-target", "unknown-target", with near names
 */
export function readTarget(text: string, catalogue: Catalogue): Target {
  const looked = catalogue.lookUp(text);
  if (looked.found) return looked.found;
  if ("refused" in looked) throw refusalOf(looked);
  // A number was mistyped for a number, a name for a name.
  const near = looked.suggestions.slice(0, 3).map(/\d/.test(text) ? shortName : fullName);
  const help =
    near.length > 0
      ? `did you mean ${listed(near, "or")}?`
      : "type a name such as M13, Ring Nebula or Vega, or coordinates such as 05 35 17 -05 23 28.";
  throw new Refusal("unknown-target", `There is nothing called "${text}" in the catalogue; ${help}`);
}

/** With a press to what shows it instead, where something does. */
function refusalOf({ refused, sentence, instead }: Extract<LookUp, { refused: string }>): Refusal {
  if (!instead) return new Refusal(refused, sentence);
  return new Offer(refused, [[sentence]], [button(instead, "target", { name: instead }, null)]);
}

/**
 * The configuration's name of the filter meant.
 * @throws {Refusal} code "unknown-filter", with those that the camera has
 */
export function readFilter(text: string, filters: readonly Filter[]): string {
  const found = filterNamed(text, filters);
  if (found !== null) return found;
  const names = filters.map((each) => each.name);
  const near = nearest(text, names);
  const first = near ? `did you mean ${near}? The` : "the";
  throw new Refusal("unknown-filter", `There is no filter "${text}"; ${first} camera has ${listed(names)}.`);
}

/** The same, or null when the camera has no such filter. Exact case first, so that "b" and "B" can differ. */
export function filterNamed(text: string, filters: readonly Filter[]): string | null {
  const wanted = HYDROGEN_ALPHA.test(text)
    ? (filters.find((each) => HYDROGEN_ALPHA.test(each.name))?.name ?? text)
    : text;
  const exact = filters.find((each) => each.name === wanted);
  const found = exact ?? filters.find((each) => each.name.toLowerCase() === wanted.toLowerCase());
  return found?.name ?? null;
}

/** The filter used when none is asked for: clear, else the first in the wheel. */
export function usualFilter(filters: readonly Filter[]): string {
  return filterNamed("clear", filters) ?? (filters[0] as Filter).name;
}
