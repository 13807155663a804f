/** An observatory under a roll-off roof has no dome: what says "dome" everywhere says "roof" there. */
import type { Part, Phrase } from "../../base/phrase.js";
import type { Config } from "../../config/config.js";

/** In this order: "people in the dome" stand under a roof. */
const WORDS: readonly (readonly [RegExp, string])[] = [
  [/\b(in|inside|into|enters) the dome\b/g, "under the roof"],
  [/\bdome's shutter\b/g, "roof"],
  [/\bdome's slit\b/g, "roof"],
  [/\bdome\b/g, "roof"],
  [/\bDome\b/g, "Roof"],
];

/** Whether the site has a roof instead of a dome. */
export function hasRoof({ observatory }: Pick<Config, "observatory">): boolean {
  return observatory.dome === null;
}

/** A text as it is said at the site; what people wrote, “quoted”, stays as it is. */
export function atSite(text: string, config: Pick<Config, "observatory">): string {
  if (!hasRoof(config) || !/dome/i.test(text)) return text;
  return text
    .split(/(“[^”]*”)/)
    .map((piece) =>
      piece.startsWith("“") ? piece : WORDS.reduce((said, [dome, roof]) => said.replace(dome, roof), piece),
    )
    .join("");
}

/** The same of a phrase. */
export function phraseAtSite(phrase: Phrase, config: Pick<Config, "observatory">): Phrase {
  return hasRoof(config) ? phrase.map((part) => partAtSite(part, config)) : phrase;
}

function partAtSite(part: Part, config: Pick<Config, "observatory">): Part {
  if (typeof part === "string") return atSite(part, config);
  if ("strong" in part) return { strong: atSite(part.strong, config) };
  if ("typed" in part) return { typed: atSite(part.typed, config), form: atSite(part.form, config) };
  return part;
}

/** What was typed of a roof as the commands know it: "roof", "nobody under the roof". */
export function asDome(text: string): string {
  return text.replace(/\bunder the roof\b/gi, "in the dome").replace(/\broof\b/gi, "dome");
}
