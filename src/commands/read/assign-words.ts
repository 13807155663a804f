/** Gives the words after a command to its options: by name where one is written, else by what each can be. */

import { listed } from "../../base/english.js";
import { Refusal } from "../../base/refusal.js";
import type { CommandSpec, OptionSpec, RawOptions } from "../command.js";
import { isTimeUnit, readDuration } from "./read-duration.js";
import { REQUEST_NUMBER } from "./read-request.js";
import { looksLikeTime } from "./read-time.js";
import { nearest } from "./spelling.js";
import { splitLine, type Word } from "./split-line.js";

/** What assigning works on: a line, its words, and the options filled so far. */
interface Work {
  readonly line: string;
  readonly words: readonly Word[];
  readonly command: CommandSpec;
  readonly options: Record<string, string>;
  /** Index of the next word. */
  at: number;
}

/**
 * Raw options from the part of `line` after `from`.
 * @throws {Refusal} codes "given-twice", "unknown-option", "unexpected-word"
 */
export function assignWords(line: string, from: number, command: CommandSpec): RawOptions {
  const names = command.options.map((each) => each.name);
  const work: Work = { line, words: splitLine(line, from, names), command, options: {}, at: 0 };
  while (work.at < work.words.length) assignNext(work);
  return work.options;
}

function assignNext(work: Work): void {
  const word = work.words[work.at] as Word;
  const named = word.key ?? timeNameAt(work) ?? spacedNameAt(work);
  if (named !== null) {
    assignNamed(work, named);
    return;
  }
  if (isFlag(work, word)) return;
  const strange = work.command.options[0]?.kind === "target" ? strangeName(word) : null;
  if (strange !== null) {
    takeStrange(work, strange);
    return;
  }
  const open = work.command.options.filter((each) => !(each.name in work.options));
  // A word that fits nothing is most likely a mistyped choice: reading it names the choices.
  const spec = open.find((each) => canBe(word, each, work)) ?? open.find(isChoice);
  if (!spec) throw unexpected(work, word);
  const one = !takesTheRest(spec, work.command) || (word.quoted && spec.kind === "target");
  if (one) takeOne(work, spec);
  else takeRest(work, spec);
}

/** name=value; a name alone before its value counts too ("until 22:30", "group Birch"). */
function assignNamed(work: Work, name: string): void {
  const spec = work.command.options.find((each) => each.name === name) as OptionSpec;
  const word = work.words[work.at] as Word;
  if (word.key === null) work.at++;
  if (word.key !== null && !word.quoted && takesTheRest(spec, work.command)) takeRest(work, spec);
  else takeOne(work, spec);
}

/** One word, with its unit where it has one. */
function takeOne(work: Work, spec: OptionSpec): void {
  const word = work.words[work.at++] as Word;
  put(work, spec.name, spec.kind === "number" || spec.kind === "time" ? withUnit(work, word) : word.text);
}

/** Everything up to the next name, as it stands in the line. */
function takeRest(work: Work, spec: OptionSpec): void {
  const first = work.words[work.at] as Word;
  let last = first;
  work.at++;
  while (work.at < work.words.length) {
    const word = work.words[work.at] as Word;
    if (spec.kind === "target" && strangeName(word) !== null) break;
    if (word.key !== null || timeNameAt(work) !== null || (spec.kind === "target" && isFlag(work, word)))
      break;
    last = word;
    work.at++;
  }
  const whole = first === last && first.quoted;
  put(work, spec.name, whole ? first.text : work.line.slice(first.start, last.end));
}

/** "foo" of "foo=bar" where no option is called so: no target's name has such a sign in it. */
function strangeName({ text, quoted, key }: Word): string | null {
  return quoted || key !== null ? null : (/^([a-z]\w{0,29})=/i.exec(text)?.[1] ?? null);
}

/** Kept under its name, so that the command refuses it by that name. */
function takeStrange(work: Work, name: string): void {
  const word = work.words[work.at++] as Word;
  put(work, name.toLowerCase(), word.text.slice(name.length + 1));
}

/** A target's name and the last free text may have several words. */
function takesTheRest(spec: OptionSpec, command: CommandSpec): boolean {
  if (spec.kind === "target" || spec.kind === "files") return true;
  return spec.kind === "text" && spec === command.options.filter((each) => each.kind === "text").at(-1);
}

/** A choice with one value ("anyway: yes") is set by its name alone. Moves on when it was one. */
function isFlag(work: Work, word: Word): boolean {
  const spec = work.command.options.find(
    (each) =>
      each.kind === "choice" &&
      each.choices?.length === 1 &&
      !word.quoted &&
      each.name === word.text.toLowerCase(),
  );
  if (!spec || spec.name in work.options) return false;
  work.at++;
  put(work, spec.name, spec.choices?.[0] as string);
  return true;
}

function timeNameAt({ words, at, command, options }: Work): string | null {
  const name = (words[at] as Word).text.toLowerCase();
  const next = words[at + 1];
  const spec = command.options.find((each) => each.kind === "time" && each.name === name);
  return spec && !(name in options) && next && looksLikeTime(next.text) ? name : null;
}

/** "group Birch", "target M31": an option's name where a value could begin; names of free text are words like others. */
function spacedNameAt({ words, at, command, options }: Work): string | null {
  const word = words[at] as Word;
  const next = words[at + 1];
  if (word.quoted || !next || next.key !== null) return null;
  const name = word.text.toLowerCase();
  const spec = command.options.find((each) => each.name === name && (each.kind !== "text" || each.named));
  return spec && (spec.choices?.length ?? 0) !== 1 && !(name in options) ? name : null;
}

const FITS_NAME = /\.(fits?|fts)(\.gz)?,?$/i;

function isChoice({ kind, choices = [] }: OptionSpec): boolean {
  return kind === "choice" && choices.length > 1;
}

/** Whether a word without a name can belong to an option. */
function canBe(word: Word, spec: OptionSpec, { command, options }: Work): boolean {
  const { text } = word;
  if (spec.named) return false;
  switch (spec.kind) {
    case "request":
      return REQUEST_NUMBER.test(text);
    case "whole":
      return /^[x×]?\d+x?$/i.test(text);
    case "number":
      return readDuration(text, "seconds") !== null;
    case "choice":
      return spec === command.options[0] || (spec.choices ?? []).some((each) => each === text.toLowerCase());
    case "clock":
      return /^\d{1,2}(:\d{2})?(am|pm)?$/i.test(text);
    case "time":
    case "date":
      return looksLikeTime(text) || /^(tonight|today|tomorrow)$/i.test(text);
    case "person":
      return text.startsWith("@");
    case "target":
      return spec === command.options[0];
    case "filter":
    case "text":
      return true;
    case "files":
      return (
        FITS_NAME.test(text) && (spec.onlyWith?.choices.includes(options[spec.onlyWith.option] ?? "") ?? true)
      );
  }
}

/** "20 s", "2026-12-04 22:30". */
function belongsTo(value: string, next: string): boolean {
  return isTimeUnit(next) || (/^\d{4}-\d{2}-\d{2}$/.test(value) && /^\d{1,2}:\d{2}/.test(next));
}

/** "20 s" typed with a space is one value, and a day with its time. */
function withUnit(work: Work, value: Word): string {
  const next = work.words[work.at];
  if (!next || next.key !== null || value.quoted || !belongsTo(value.text, next.text)) return value.text;
  work.at++;
  return `${value.text} ${next.text}`;
}

function put(work: Work, name: string, value: string): void {
  if (name in work.options) {
    throw new Refusal(
      "given-twice",
      `Given twice: ${name}, as "${work.options[name]}" and as "${value}". Say it once.`,
    );
  }
  work.options[name] = value;
}

function unexpected({ command }: Work, word: Word): Refusal {
  const shown = word.text.slice(0, 40);
  const names = command.options.map((each) => each.name);
  const typedName = /^([a-z]+)=/i.exec(shown)?.[1];
  if (typedName !== undefined) {
    const near = nearest(typedName, names);
    const help = near ? `did you mean ${near}?` : optionWords(names);
    return new Refusal("unknown-option", `/${command.name} has no option "${typedName}"; ${help}`);
  }
  if (command.options.length > 0 && command.options.every(({ kind }) => kind === "request")) {
    throw new Refusal(
      "bad-request-number",
      `"${shown}" is no request number: type ${command.examples.at(-1)}.`,
    );
  }
  const example = command.examples.at(-1) ?? `/${command.name}`;
  return new Refusal(
    "unexpected-word",
    `I do not know what "${shown}" means after /${command.name}; ${optionWords(names)} Type, for example, ${example}.`,
  );
}

function optionWords(names: readonly string[]): string {
  if (names.length === 0) return "nothing goes after it.";
  return `it takes ${names.length === 1 ? "only the " : ""}${listed(names)}.`;
}
