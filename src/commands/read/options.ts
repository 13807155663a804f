/** Reads the options of one call: from what arrived, by any surface, to checked values. */

import { button } from "../../base/button.js";
import { listed } from "../../base/english.js";
import { Refusal } from "../../base/refusal.js";
import type { UtcMillis } from "../../base/units.js";
import { asDome, hasRoof } from "../../notices/words/roof.js";
import type { Call, CommandSpec, GivenFile, OptionKind, OptionSpec, RawOptions } from "../command.js";
import { Offer } from "../offer.js";
import { findPerson } from "../people/people.js";
import type { Services } from "../services.js";
import { cleanText, cleanTextWithin } from "./clean-text.js";
import type { KindValue } from "./kind-value.js";
import { readDuration } from "./read-duration.js";
import { readRequestNumber, whichRequest } from "./read-request.js";
import { readFilter, readTarget } from "./read-sky.js";
import { readClock, readDate, readTime } from "./read-time.js";
import { nearest } from "./spelling.js";
import { TwiceOnTheWall } from "./wall-clock.js";

/** No option but text may be longer than this. */
const LONGEST_VALUE = 120;
const LONGEST_TEXT = 300;
/** Several names with their folders. */
const LONGEST_FILES = 1_000;

interface Reading {
  readonly spec: OptionSpec;
  readonly call: Call;
  /** All that was given, taken apart. */
  readonly raw: RawOptions;
  readonly services: Services;
}

type Readers = { readonly [K in OptionKind]: (text: string, reading: Reading) => KindValue[K] };

const READERS: Readers = {
  target: (text, { spec, call, raw, services }) =>
    readTarget(text, { command: call.command, options: raw, option: spec.name }, services),
  filter: (text, { services }) => readFilter(text, services.config.observatory.camera.filters),
  request: (text, { spec, call, services }) => readRequestNumber(text, spec, call, services.desk.state),
  person: (text, { call, services }) => findPerson(text, call.asker, call.from.surface, services),
  choice: readChoice,
  whole: (text, reading) => withinRange(readWhole(text, reading.spec), text, reading.spec),
  number: (text, reading) => withinRange(readNumber(text, reading.spec), text, reading.spec),
  text: (text) => text,
  time: readTimeOrAsk,
  clock: (text) => readClock(text),
  date: (text, { services }) =>
    readDate(text, services.clock.now(), services.config.observatory.site.timeZone),
  files: readFiles,
};

/**
 * All options of a command, by name; options that were left out are undefined.
 * @throws {Refusal} naming the option at fault and what to type instead
 */
export function readOptions(
  command: Pick<CommandSpec, "name" | "options" | "examples">,
  raw: RawOptions,
  call: Call,
  services: Services,
): Readonly<Record<string, unknown>> {
  refuseUnknown(command, raw);
  const values: Record<string, unknown> = {};
  for (const spec of command.options) {
    const text = asText(raw[spec.name], spec);
    if (text !== "") {
      refuseAlone(spec, text, values);
      values[spec.name] = READERS[spec.kind](text, { spec, call, raw, services });
    } else if (spec.required) throw missing(command, spec, call, services);
  }
  return values;
}

function asText(value: string | number | undefined, spec: OptionSpec): string {
  if (value === undefined || value === null) return "";
  const longest =
    spec.kind === "text"
      ? (spec.maxLength ?? LONGEST_TEXT)
      : spec.kind === "files"
        ? LONGEST_FILES
        : LONGEST_VALUE;
  return cleanTextWithin(String(value), longest, `the ${spec.name}`);
}

/** What would be lost without a word is refused. */
function refuseAlone(
  { name, onlyWith }: OptionSpec,
  text: string,
  values: Readonly<Record<string, unknown>>,
): void {
  if (!onlyWith || onlyWith.choices.includes(String(values[onlyWith.option]))) return;
  const which = onlyWith.choices.length === 1 ? "say that" : "say one of those";
  throw new Refusal(
    "goes-with",
    `"${text.slice(0, 40)}", read as ${name}, goes only with ${listed(onlyWith.choices, "or")}: ${which}, or leave it out.`,
  );
}

function refuseUnknown(command: Pick<CommandSpec, "name" | "options">, raw: RawOptions): void {
  const names = command.options.map((each) => each.name);
  const strange = Object.keys(raw).find((name) => raw[name] !== undefined && !names.includes(name));
  if (strange === undefined) return;
  const shown = cleanText(strange).slice(0, 30);
  const near = nearest(shown, names);
  const all = names.length === 0 ? "it takes none" : `it takes ${listed(names)}`;
  throw new Refusal(
    "unknown-option",
    `/${command.name} has no option "${shown}"; ${near ? `did you mean ${near}?` : `${all}.`}`,
  );
}

function missing(
  command: Pick<CommandSpec, "name" | "options" | "examples">,
  spec: OptionSpec,
  call: Call,
  services: Services,
): Refusal {
  if (spec.kind === "request") {
    return whichRequest(command.name, spec, call.asker, services.desk.state);
  }
  const choices = spec.choices ? ` (${listed(spec.choices, "or")})` : "";
  return new Refusal(
    "missing-option",
    `/${command.name} needs the ${spec.name}${choices}: type, for example, ${command.examples[0]?.replace(/\.$/, "")}.`,
  );
}

/** The time; where the clock shows it twice, both to press. */
function readTimeOrAsk(text: string, { spec, call, raw, services }: Reading): UtcMillis {
  try {
    return readTime(text, services.clock.now(), services.config.observatory.site.timeZone);
  } catch (error) {
    if (!(error instanceof TwiceOnTheWall)) throw error;
    const actions = error.both.map((time, index) =>
      button(index === 0 ? "The first" : "The second", call.command, { ...raw, [spec.name]: time }, null),
    );
    throw new Offer(error.code, [[error.message]], actions);
  }
}

function readChoice(written: string, { spec, services }: Reading): string {
  const choices = spec.choices ?? [];
  const text = hasRoof(services.config) ? asDome(written) : written;
  const found = choices.find((each) => each.toLowerCase() === text.toLowerCase());
  if (found) return found;
  const near = nearest(text, choices);
  throw new Refusal(
    "bad-choice",
    choices.length === 1
      ? `"${text}" is not possible for ${spec.name}: type ${spec.name}=${choices[0]} or leave it out.`
      : `"${text}" is not possible here; ${near ? `did you mean ${near}? The` : "the"} ${spec.name} can be ${listed(choices, "or")}.`,
  );
}

/** Where one name ends: at a comma, or after an ending that FITS files have. */
const BETWEEN_FILES = /\s*,\s*|(?<=\.(?:fits?|fts)(?:\.gz)?)\s+/i;

function readFiles(text: string, { spec, call: { giveFile } }: Reading): GivenFile[] {
  if (!giveFile) throw new Refusal("no-files", `The ${spec.name} cannot be handed over here.`);
  const words = text.split(BETWEEN_FILES).filter((word) => word !== "");
  const { most = 1 } = spec;
  if (words.length <= most) return words.map(giveFile);
  throw new Refusal("too-many-files", `${words.length} files are too many at a time: give at most ${most}.`);
}

function readWhole(text: string, spec: OptionSpec): number {
  const match = /^[x×]?\s*([+-]?\d{1,9})(?:\.0*)?\s*(?:[x×]|frames?)?$/i.exec(text);
  if (match) return Number(match[1]);
  throw new Refusal(
    "bad-number",
    `"${text.slice(0, 30)}" cannot be the ${spec.name}: type a whole number${rangeWords(spec, " ")}, such as 3.`,
  );
}

function readNumber(text: string, spec: OptionSpec): number {
  const read = readDuration(text, spec.unit ?? "seconds");
  if (read && (spec.unit !== undefined || !read.hasUnit)) {
    return spec.unit === "minutes" ? read.seconds / 60 : read.seconds;
  }
  const example = spec.unit === "seconds" ? "such as 20 or 1.5 min" : "such as 20";
  throw new Refusal("bad-number", `"${text.slice(0, 30)}" is no ${spec.name}: type a number, ${example}.`);
}

function withinRange(value: number, text: string, spec: OptionSpec): number {
  const low = spec.min ?? Number.NEGATIVE_INFINITY;
  const high = spec.max ?? Number.POSITIVE_INFINITY;
  if (value >= low && value <= high) return value;
  throw new Refusal(
    "out-of-range",
    `${text.slice(0, 30)} is not possible as ${spec.name}: type a number${rangeWords(spec, " ")}.`,
  );
}

function rangeWords(spec: OptionSpec, lead: string): string {
  const { min, max } = spec;
  const unit = spec.unit ? ` ${spec.unit}` : "";
  if (min !== undefined && max !== undefined) return `${lead}from ${min} to ${max}${unit}`;
  if (min !== undefined) return `${lead}of at least ${min}${unit}`;
  return max !== undefined ? `${lead}of at most ${max}${unit}` : "";
}
