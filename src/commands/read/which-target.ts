/** Asks which target is meant, with a press for each: nothing is ever taken for something else. */
import { button, type Invocation } from "../../base/button.js";
import { listed } from "../../base/english.js";
import { clockTime, type Phrase, say } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import type { LookUp } from "../../sky/names/catalogue.js";
import type { Several } from "../../sky/names/several.js";
import type { Target } from "../../sky/target.js";
import { Offer } from "../offer.js";
import { worthAmong } from "../plan/up-now.js";
import type { Services } from "../services.js";
import { fullName, shortName } from "../words/target-words.js";
import { nameIn } from "./find-name.js";

/** Buttons at most. */
const MOST = 5;

/** What was asked, and which of its options names the target. */
export interface AskedFor extends Invocation {
  readonly option: string;
}

/** The refusal of a name that is not one target's, with what to press instead. */
export function whichTarget(
  text: string,
  looked: Exclude<LookUp, { readonly found: Target }>,
  asked: AskedFor,
  services: Services,
): Refusal {
  if ("several" in looked) return severalOffer(looked.several, asked, services);
  if ("refused" in looked) {
    const { refused, sentence, instead } = looked;
    return instead
      ? new Offer(refused, [[sentence]], [button(instead, "target", { name: instead }, null)])
      : new Refusal(refused, sentence);
  }
  return unknown(text, looked.suggestions, asked, services);
}

/** A number was mistyped for a number, a name for a name; a name inside it first. */
function unknown(text: string, near: readonly Target[], asked: AskedFor, { catalogue }: Services): Refusal {
  const inside = nameIn(text, catalogue)?.looked.found;
  const meant = [...new Set([...(inside ? [inside] : []), ...near])].slice(0, 3);
  const names = meant.map(/\d/.test(text) ? shortName : fullName);
  const help =
    names.length > 0
      ? `did you mean ${listed(names, "or")}?`
      : "type a name such as M13, Ring Nebula or Vega, or coordinates such as 05 35 17 -05 23 28.";
  const sentence = `There is nothing called "${text}" in the catalogue; ${help}`;
  return new Offer(
    "unknown-target",
    [[sentence]],
    meant.map((target) => press(target, asked)),
  );
}

function severalOffer(several: Several, asked: AskedFor, services: Services): Refusal {
  const { clock, config } = services;
  const worth = worthAmong(several.members, clock.now(), config.observatory, MOST);
  const shown = [...worth.now, ...worth.later].map(({ target }) => target);
  const namesake = namesakeOf(several);
  const chosen = [...new Set([...(namesake ? [namesake] : []), ...shown])];
  const also = namesake && !shown.includes(namesake) ? [` The ${fullName(namesake)} is in it too.`] : [];
  const list = listed((also.length > 0 ? shown : chosen).map(fullName));
  const lines = [[...severalPhrase(several, worth, list), ...also]];
  return new Offer(
    "which-target",
    lines,
    chosen.slice(0, MOST).map((target) => press(target, asked)),
  );
}

/** "Andromeda": the galaxy that is called so. */
function namesakeOf({ name, what, members }: Several): Target | undefined {
  return what === "constellation"
    ? members.find((each) => /^ (Galaxy|Nebula|Cluster)/.test(each.name.replace(name, "")))
    : undefined;
}

type Worth = ReturnType<typeof worthAmong>;

function severalPhrase({ name, what, members }: Several, { now, later }: Worth, list: string): Phrase {
  const stands = {
    constellation: `${name} is a constellation.`,
    group: `${name} is more than one target: ${listed(members.map(shortName))}.`,
    kind: `${name} are many.`,
  }[what];
  if (now.length > 0) return say`${stands} Worth asking for now: ${list}.`;
  const opens = later[0]?.windows[0]?.openUnixMs;
  if (opens !== undefined) return say`${stands} Worth asking for tonight, from ${clockTime(opens)}: ${list}.`;
  return say`${stands} None that is listed here can be observed for the rest of this night; /tonight lists what can.`;
}

function press(target: Target, { command, options, option }: AskedFor) {
  const name = shortName(target);
  return button(
    command === "request" ? `Ask for ${name}` : name,
    command,
    { ...options, [option]: name },
    null,
  );
}
