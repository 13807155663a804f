/** What the backtest found, as one object: what `--json` prints and the table shows. */
import { MINUTE } from "../../base/units.js";
import type { RuleComparison, RuleNight } from "./compare-rules.js";
import type { Judged } from "./question.js";
import { type Score, scoreOf } from "./score.js";

/** One rule over all full nights. */
export interface RuleResult {
  readonly fullNights: number;
  readonly completed: number;
  readonly completedPerNight: number;
  /** Mean over the nights of each night's mean: a rule that does more in a poor place is not blamed for the place. */
  readonly meanAirmass: number;
  readonly staffCompleted: number;
  /** Of the staff requests that started, from asking or dusk. */
  readonly staffMeanWaitMinutes: number;
}

export interface Result extends Score {
  readonly nights: number;
  readonly requests: number;
  /** Sites of one night each, which are scored apart. */
  readonly firstNights: Score & { readonly sites: number };
  readonly planned: RuleResult;
  readonly highestFirst: RuleResult;
}

/** What has been played. */
export interface Played {
  readonly nights: number;
  readonly requests: number;
  readonly judged: readonly Judged[];
  readonly firstSites: number;
  readonly firstJudged: readonly Judged[];
  readonly compared: readonly RuleComparison[];
}

/** Puts all blocks together. */
export function resultOf({ nights, requests, judged, compared, ...first }: Played): Result {
  return {
    nights,
    requests,
    ...scoreOf(judged),
    firstNights: { sites: first.firstSites, ...scoreOf(first.firstJudged) },
    planned: ruleResult(compared.map(({ planned }) => planned)),
    highestFirst: ruleResult(compared.map(({ highestFirst }) => highestFirst)),
  };
}

function ruleResult(nights: readonly RuleNight[]): RuleResult {
  const completed = nights.reduce((sum, night) => sum + night.completed, 0);
  return {
    fullNights: nights.length,
    completed,
    completedPerNight: completed / nights.length,
    meanAirmass: mean(nights.flatMap(({ airmasses }) => (airmasses.length > 0 ? [mean(airmasses)] : []))),
    staffCompleted: nights.reduce((sum, night) => sum + night.staffCompleted, 0),
    staffMeanWaitMinutes: mean(nights.flatMap(({ staffWaitMs }) => staffWaitMs)) / MINUTE,
  };
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, each) => sum + each, 0) / values.length;
}
