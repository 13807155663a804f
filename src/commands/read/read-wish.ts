/** Reads a wish as people say it: "can i get m51 in r, 2 minutes x 3, for my lab". What is not understood is handed back. */
import { Refusal } from "../../base/refusal.js";
import type { Filter } from "../../observatory/observatory.js";
import type { Catalogue } from "../../sky/names/catalogue.js";
import { isOfKind, looseKey } from "../../sky/names/plain.js";
import type { Target } from "../../sky/target.js";
import type { RawOptions } from "../command.js";
import { type FoundName, nameIn, tokensOf } from "./find-name.js";
import { filterNamed } from "./read-sky.js";
import { BESIDE, NUMBER, numberIn, POLITE, PURPOSE } from "./wish-words.js";

/** A text taken apart. */
export interface ReadWish {
  /** What names the target, as it was typed; empty where nothing does. */
  readonly target: string;
  /** What else was understood: filter, exposure, frames, notbefore, note, date, and what is written name=value. */
  readonly options: RawOptions;
  /** The name with the unknown words beside it, where these may belong to it: "southern owl". */
  readonly wider: string | null;
  /** Words that mean nothing here, in order. */
  readonly strange: readonly string[];
  /** A second target that is named, as it was typed. */
  readonly second: string | null;
  /** Someone for whom it would be. */
  readonly forOther: boolean;
}

/** Where words were understood: what stands on both sides is not beside each other. */
const HOLE = "|";
/** Where the name stood. */
const NAME = "¦";

const UNIT = `(?:(s|secs?|seconds?|m|mins?|minutes?|h|hrs?|hours?|″|"|′|')(?![\\p{L}\\d]))`;
const FREE = "(?<![\\p{L}\\d.,+−-])";
const FIGURE = "(\\d+(?:[.,]\\d+)?)";
const END = "(?![\\p{L}\\d])";
const EACH =
  "(?:[\\s-]*(?:long|each|apiece|per frame|exposures?|exp|subs?|frames?|shots?|integrations?|images?|pictures?)\\b)*";
const SHOTS =
  "(?:frames?|pictures?|pics?|photos?|photographs?|images?|shots?|snaps?|snapshots?|subs?|exposures?|times|lights|captures?)\\b(?:\\s*of\\b)?";
const CLOCK = "(\\d{1,2}:\\d{2}(?:\\s?[ap]\\.?m\\b\\.?)?|\\d{1,2}\\s?[ap]\\.?m\\b\\.?|midnight)";
const AFTER =
  "(?:(?:not before|no earlier than|not earlier than|starting at|starting|after|from|at|around|about|past)\\s+)?";
const LEAD = "(?:\\b(?:exposures?|exp|exptime|integration)(?: time)?(?: of| is|:)?\\s*)?";

const rx = (source: string): RegExp => new RegExp(source, "giu");
/** In the order in which they are looked for. */
const SAID = {
  written: rx("(?<!\\S)([a-z]\\w{0,29})=(\\S*)"),
  dayAndTime: rx(`${AFTER}(\\d{4}-\\d{2}-\\d{2})[t ](\\d{2}:\\d{2})`),
  clock: rx(FREE + AFTER + CLOCK),
  inSoLong: rx(
    `\\bin\\s+${NUMBER}\\s*(min|mins|minutes?|h|hrs?|hours?)\\b(?![\\s-]*(?:long|each|apiece|exposures?|subs?|frames?|shots?|images?|pictures?))`,
  ),
  date: rx("\\b(tomorrow|\\d{4}-\\d{2}-\\d{2})(?: night| evening)?\\b"),
  exposureThenTimes: rx(`${FREE}${FIGURE}\\s+[x×*](\\d+)(?!\\s*[smh])${END}`),
  framesOf: rx(`${FREE}(\\d+)\\s*[x×*]\\s*${FIGURE}\\s*${UNIT}?${END}${EACH}`),
  exposureTimes: rx(`${FREE}${FIGURE}\\s*${UNIT}\\s*[x×*]\\s*(\\d+)${EACH}`),
  frames: rx(`${FREE}${NUMBER}\\s*(?:x\\s*)?${SHOTS}`),
  framesAre: rx("\\b(?:frames?|pictures?|images?)\\s*[:=]?\\s*(\\d+)\\b(?!\\s*[hms])"),
  times: rx(`(?<![\\p{L}\\d])[x×*]\\s*(\\d+)(?![\\p{L}\\d.,])|(?<![\\p{L}\\d.,])(\\d+)\\s*[x×*]${END}`),
  minutesAndSeconds: rx(
    `${LEAD}${FREE}${NUMBER}\\s*(?:m|mins?|minutes?)\\s*(?:and\\s*)?(\\d+)\\s*(?:s|secs?|seconds?)${END}${EACH}`,
  ),
  exposure: rx(`${LEAD}${FREE}${NUMBER}[\\s-]*${UNIT}${EACH}`),
  exposureIs: rx(
    `\\b(?:exposures?|exp|exptime)(?: time)?(?: of| is|:)?\\s*${FIGURE}${END}(?!\\s*(?:[x×*]|${UNIT}))`,
  ),
  noFilter: rx("\\b(?:no|without|without an?y?) filters?\\b"),
  filterIs: rx("(?<![\\p{L}\\d])(?:filters?|band)\\s*[:=]?\\s*([\\p{L}\\d'-]+)"),
  filterWord: rx(`(?<![\\p{L}\\d])([\\p{L}\\d'-]+)[ -](?:filters?|band|light|channel)${END}`),
  through: rx(
    `(?<![\\p{L}\\d])(?:in|through|thru|with|using|via)\\s+(?:the\\s+|an?\\s+)?([\\p{L}\\d'-]+)${END}`,
  ),
  mention: rx("(?<!\\S)@\\S+"),
  forWhom: rx("\\b(?:for|as|on behalf of)\\s+(?:(?:my|our|the)\\s+)?(\\p{L}[\\p{L}']+)"),
  withinTwo: rx("\\b(?:in|of) (?:the )?(?:constellation (?:of )?)?(\\p{L}+ \\p{L}+)"),
  within: rx("\\b(?:in|of) (?:the )?(?:constellation (?:of )?)?(\\p{L}+)"),
};
/** "05 35 17 -05 23 28", right or wrong: never a shorter position with numbers after it. */
const SEXAGESIMAL = /^\d{1,3} \d{1,2} \d{1,2}(?:\.\d+)? [+−-]\d{1,3} \d{1,2} \d{1,2}(?:\.\d+)?(?= |$)/;
/** Signs that name a target where they stand for a word. */
const PICTURED: Readonly<Record<string, string>> = {
  ...{ "🪐": "saturn", "🌙": "moon", "🌕": "moon", "🌝": "moon", "🌖": "moon", "🌗": "moon", "🌘": "moon" },
  ...{ "🌒": "moon", "🌓": "moon", "🌔": "moon", "🌛": "moon", "🌜": "moon", "☀": "sun", "🌞": "sun" },
};

/**
 * Takes a text apart.
 * @param given options that have their values already
 * @throws {Refusal} codes "given-twice", "two-filters"
 */
export function readWish(
  text: string,
  catalogue: Catalogue,
  filters: readonly Filter[],
  given: RawOptions = {},
): ReadWish {
  const plain = text
    .replace(/[’‘´`]/g, "'")
    .replace(/[|¦]|(?<=\S)@|(?<!\S)[-–—&+.]+(?!\S)|,(?!\d)|(?<!\d),/g, " ")
    .replace(/(?<=\p{L})'(?=(?:s|d|m|re|ll|ve)(?!\p{L}))/giu, "")
    .replace(/(?<=\d)'s(?!\p{L})/giu, "")
    .replace(/\b1\/(\d{1,5})(?=\s*(?:s|secs?|seconds?)\b)/gi, (_, part: string) => String(1 / Number(part)))
    .replace(/\p{Extended_Pictographic}|[\u200d\ufe0e\ufe0f]/gu, (sign) => ` ${PICTURED[sign] ?? ""} `)
    .replace(/\b(?:h|hydrogen)[ -]alpha\b/gi, "Hα")
    .trim();
  const name = placeIn(plain, catalogue) ?? nameIn(plain, catalogue);
  const after = name ? unstuck(plain.slice(name.end)) : "";
  const work = new Work(name ? plain.slice(0, name.start) + NAME + after : plain, given);
  takeTimes(work);
  takeFrames(work);
  takeExposure(work);
  takeFilter(work, filters);
  takeNote(work);
  const forOther = takeOthers(work);
  if (name) takeConstellation(work, name, catalogue);
  return { ...leftOver(work, name, catalogue, filters), options: work.options, forOther };
}

/** "R2minx3", right behind a name, is "R 2min x3". */
function unstuck(text: string): string {
  return text.replace(/^\S+/, (stuck) =>
    stuck.replace(/x(?=\d)/gi, " x").replace(/([^\dx\s.,:+-])(?=\d)/gi, "$1 "),
  );
}

/** What is taken apart, and what was understood so far. */
class Work {
  readonly options: Record<string, string> = {};

  constructor(
    public text: string,
    private readonly given: RawOptions,
  ) {}

  /** Hands every match on; where it is understood (not false) a hole is left. */
  take(pattern: RegExp, use: (...groups: (string | undefined)[]) => unknown): void {
    this.text = this.text.replace(pattern, (whole: string, ...rest: unknown[]) => {
      const groups = rest.slice(
        0,
        rest.findIndex((each) => typeof each === "number"),
      ) as string[];
      return use(...groups) === false ? whole : HOLE;
    });
  }

  has(name: string): boolean {
    return (this.options[name] ?? this.given[name]) !== undefined;
  }

  /** @throws {Refusal} code "given-twice" */
  put(name: string, value: string): void {
    const known = this.options[name] ?? this.given[name];
    if (name === "filter" && name in this.options && known !== value) {
      throw new Refusal(
        "two-filters",
        `One request is taken through one filter, and you named ${known} and ${value}: ask for each by itself.`,
      );
    }
    if (known !== undefined && String(known) !== value) {
      throw new Refusal(
        "given-twice",
        `Given twice: ${name}, as "${known}" and as "${value}". Say it once, as in /request M13 clear 20 3.`,
      );
    }
    this.options[name] = value;
  }
}

/** A position stands at the beginning: as far as it can be read. */
function placeIn(text: string, catalogue: Catalogue): FoundName | null {
  const whole = SEXAGESIMAL.exec(text)?.[0];
  if (whole !== undefined)
    return { start: 0, end: whole.length, text: whole, looked: catalogue.lookUp(whole) };
  if (!/^\s*(?:[\d(+]|r\.?a\b|α|j\d)/i.test(text)) return null;
  const ends = [...text.matchAll(/\S+/g)].slice(0, 12).map((match) => match.index + match[0].length);
  for (const end of ends.reverse()) {
    const looked = catalogue.lookUp(text.slice(0, end));
    if (looked.found?.type === "position") return { start: 0, end, text: text.slice(0, end), looked };
  }
  return null;
}

/** A time, a night; name=value first, for whoever reads the options says whether there is such a one. */
function takeTimes(work: Work): void {
  work.take(SAID.written, (name = "", value = "") => work.put(name.toLowerCase(), value || "?"));
  work.take(SAID.dayAndTime, (day, time) => work.put("notbefore", `${day} ${time}`));
  work.take(SAID.clock, (time = "") =>
    work.put("notbefore", /midnight/i.test(time) ? "00:00" : time.replace(/[\s.]/g, "")),
  );
  work.take(SAID.inSoLong, (number = "", unit = "") => work.put("notbefore", `${numberIn(number)} ${unit}`));
  work.take(SAID.date, (date = "") => work.put("date", date.toLowerCase()));
}

function takeFrames(work: Work): void {
  work.take(SAID.exposureIs, (number = "") => work.put("exposure", number));
  const both = (frames: string, exposure: string): void => {
    work.put("frames", frames);
    work.put("exposure", exposure);
  };
  work.take(SAID.exposureThenTimes, (exposure = "", frames = "") => both(frames, exposure));
  work.take(SAID.framesOf, (frames = "", exposure = "", unit = "") => both(frames, exposure + unit));
  work.take(SAID.exposureTimes, (exposure = "", unit = "", frames = "") => both(frames, exposure + unit));
  work.take(SAID.frames, (number = "") => {
    if (!/^an?$|^half/i.test(number)) work.put("frames", String(numberIn(number)));
  });
  work.take(SAID.framesAre, (number = "") => work.put("frames", number));
  work.take(SAID.times, (after, before) => work.put("frames", (after ?? before) as string));
}

function takeExposure(work: Work): void {
  work.take(SAID.minutesAndSeconds, (minutes = "", rest = "") =>
    work.put("exposure", `${numberIn(minutes) * 60 + Number(rest)} s`),
  );
  work.take(SAID.exposure, (number = "", unit = "") =>
    work.put("exposure", /^[\d.,]+$/.test(number) ? number + unit : `${numberIn(number)} ${unit}`),
  );
}

function takeFilter(work: Work, filters: readonly Filter[]): void {
  const put = (word = "", sure = false): boolean => {
    const found = filterNamed(word, filters);
    if (found === null && (!sure || BESIDE.has(word.toLowerCase()))) return false;
    work.put("filter", found ?? word);
    return true;
  };
  work.take(SAID.noFilter, () => put("clear"));
  work.take(SAID.filterIs, (word) => put(word));
  work.take(SAID.filterWord, (word) => put(word, true));
  work.take(SAID.through, (word) => put(word));
}

function takeNote(work: Work): void {
  work.text = work.text.replace(PURPOSE, (said) => {
    const note = said.replace(/[\s,.!]*(?:please|thanks|thank you|thx|pls|plz)?[\s,.!?]*$/i, "").trim();
    if (!work.has("note")) work.put("note", note);
    return HOLE;
  });
}

/** Whether it is for someone else; small talk goes with it. */
function takeOthers(work: Work): boolean {
  let forOther = false;
  work.take(SAID.mention, () => {
    forOther = true;
  });
  work.text = work.text.replace(POLITE, HOLE);
  work.take(SAID.forWhom, (who = "") => {
    if (BESIDE.has(who.toLowerCase())) return false;
    forOther = true;
    return true;
  });
  return forOther;
}

/** "in Lyra" said of what stands there. */
function takeConstellation(work: Work, { looked }: FoundName, catalogue: Catalogue): void {
  const isIts = (words = ""): boolean => {
    const sky = catalogue.lookUp(words);
    return "several" in sky && sky.several.members.some((member) => member === looked.found);
  };
  work.take(SAID.withinTwo, isIts);
  work.take(SAID.within, isIts);
}

/** Numbers without a unit are seconds, then frames; a filter's bare name is one; what is left has no meaning here. */
function leftOver(
  work: Work,
  name: FoundName | null,
  catalogue: Catalogue,
  filters: readonly Filter[],
): Pick<ReadWish, "target" | "wider" | "strange" | "second"> {
  const strange: string[] = [];
  /** Behind the name, known or not. */
  let behind = name !== null;
  for (const { text } of tokensOf(work.text)) {
    const filter =
      behind || (strange.length > 0 && filters.some((each) => each.name === text))
        ? filterNamed(text, filters)
        : null;
    behind ||= filter !== null;
    if (filter !== null) work.put("filter", filter);
    else if (behind && /^\d+(?:[.,]\d+)?$/.test(text)) {
      work.put(work.has("exposure") ? "frames" : "exposure", text);
    } else if (!BESIDE.has(text.toLowerCase())) strange.push(text);
  }
  if (name === null) return { target: strange.join(" "), wider: null, strange: [], second: null };
  const { found } = name.looked;
  const isOther = (word: string): boolean => found === null || catalogue.lookUp(word).found !== found;
  const telling = strange.filter((word) => isOther(word) && !(found && isKindOf(found, word.toLowerCase())));
  const second = telling.length === 0 ? null : nameIn(telling.join(" "), catalogue);
  const other = second?.looked.found && second.looked.found !== found ? second.text : null;
  return { target: name.text, wider: widerName(work.text, name, telling), strange: telling, second: other };
}

/** "galaxy" beside the name of one; "double", "spiral" beside any. */
function isKindOf(target: Target, word: string): boolean {
  if (
    /^(double|binary|variable|spiral|elliptical|planetary|emission|reflection|dwarf|bright|famous)$/.test(
      word,
    )
  )
    return true;
  return looseKey([word]) === null && isOfKind(target, [word]);
}

/** The name with the unknown words right beside it; null where there are none, or it is a designation. */
function widerName(text: string, name: FoundName, strange: readonly string[]): string | null {
  if (/\d/.test(name.text)) return null;
  const letter = "several" in name.looked ? /¦ +(\p{L})[\s.!?]*$/u.exec(text)?.[1] : undefined;
  if (letter !== undefined) return `${name.text} ${letter}`;
  const [, before = "", after = ""] = /(?:([\p{L}']{3,}) +)?¦(?: +([\p{L}']{3,}))?/u.exec(text) ?? [];
  const beside = [before, name.text, after].filter((word) => word === name.text || strange.includes(word));
  return beside.length > 1 ? beside.join(" ") : null;
}
