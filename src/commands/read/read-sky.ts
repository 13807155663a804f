/** Targets and filters as people write them. */

import { listed } from "../../base/english.js";
import { Refusal } from "../../base/refusal.js";
import type { Filter } from "../../observatory/observatory.js";
import type { Target } from "../../sky/target.js";
import type { Services } from "../services.js";
import { nearest } from "./spelling.js";
import { type AskedFor, whichTarget } from "./which-target.js";
import { alsoCalled } from "./wish-words.js";

/** Written names of one line of the spectrum. */
const HYDROGEN_ALPHA = /^(h[-\s]?alpha|h[-\s]?a|hα|h-α)$/i;

/**
 * The target meant by a name or coordinates.
 * @throws {Refusal} codes "sun", "bad-coordinates", "no-target", "which-target", "unknown-target", with presses for what may be meant
 */
export function readTarget(text: string, asked: AskedFor, services: Services): Target {
  const looked = services.catalogue.lookUp(text);
  if (looked.found) return looked.found;
  throw whichTarget(text, looked, asked, services);
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

/**
 * The same, or null when the camera has no such filter. Exact case first, so that "b" and "B" can differ; then "red" and
 * its like.
 */
export function filterNamed(text: string, filters: readonly Filter[]): string | null {
  const wanted = HYDROGEN_ALPHA.test(text)
    ? (filters.find((each) => HYDROGEN_ALPHA.test(each.name))?.name ?? text)
    : text;
  const exact = filters.find((each) => each.name === wanted);
  const found = exact ?? filters.find((each) => each.name.toLowerCase() === wanted.toLowerCase());
  const called = alsoCalled(text).find((name) => filters.some((each) => each.name === name));
  return found?.name ?? called ?? null;
}

/** The filter used when none is asked for: clear, else the first in the wheel. */
export function usualFilter(filters: readonly Filter[]): string {
  return filterNamed("clear", filters) ?? (filters[0] as Filter).name;
}
