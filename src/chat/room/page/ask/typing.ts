/** The typing line: commands and plain words, with completion of commands, options and targets. */
import { html } from "lit-html";
import { quoted, splitLine } from "../../../../commands/read/split-line.js";
import type { WireCommand, WireOption } from "../../wire.js";
import { byId, draw, onSubmit } from "../draw/dom.js";
import { heard } from "../heard.js";
import { askLine } from "./answer-card.js";
import { suggest } from "./to-server.js";

interface Item {
  readonly label: string;
  /** The whole line when chosen. */
  readonly line: string;
}

const PAUSE_MS = 130;
const MOST_ITEMS = 8;

let items: readonly Item[] = [];
let chosen = -1;
/** What is listed belongs to what was typed before. */
let isBehind = false;
let timer = 0;
let asking = 0;

/** Wires the line up once. */
export function startTyping(): void {
  const line = typeLine();
  byId("type").addEventListener("submit", onSubmit(go));
  line.addEventListener("input", () => {
    clearTimeout(timer);
    isBehind = true;
    mark(-1);
    timer = setTimeout(() => void complete(line.value), PAUSE_MS);
  });
  line.addEventListener("keydown", onKey);
  let leaving = 0;
  line.addEventListener("blur", () => {
    leaving = setTimeout(close, 200);
  });
  // Back within that time: what is typed now is not to be closed under the reader's fingers.
  line.addEventListener("focus", () => clearTimeout(leaving));
}

function typeLine(): HTMLInputElement {
  return byId<HTMLInputElement>("type-line");
}

function go(): void {
  if (chosen >= 0) {
    choose(chosen);
    return;
  }
  const typed = typeLine().value.trim();
  if (typed === "") return;
  typeLine().value = "";
  close();
  void askLine(typed);
}

function onKey(event: KeyboardEvent): void {
  const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  if (event.key === "Escape") close();
  if (event.key === "Tab" && chosen >= 0) {
    event.preventDefault();
    choose(chosen);
  }
  if (step === undefined || items.length === 0 || isBehind) return;
  event.preventDefault();
  mark((Math.max(chosen, step > 0 ? -1 : 0) + step + items.length) % items.length);
}

async function complete(typed: string): Promise<void> {
  const turn = ++asking;
  const found = typed.startsWith("/") ? await itemsFor(typed) : [];
  if (turn !== asking || typeLine().value !== typed) return;
  open(found.slice(0, MOST_ITEMS));
}

async function itemsFor(typed: string): Promise<Item[]> {
  const commands = heard.hello?.commands ?? [];
  const word = /^\/(\S*)$/.exec(typed)?.[1];
  if (word !== undefined) {
    return commands
      .filter(({ name }) => name.startsWith(word.toLowerCase()))
      .map(({ name, help }) => ({ label: `/${name} · ${help}`, line: `/${name} ` }));
  }
  const command = commands.find(({ name }) => typed.toLowerCase().startsWith(`/${name} `));
  return command ? optionItems(command, typed) : [];
}

/** A target's name may have several words: first everything after the command is taken for one. */
async function optionItems(command: WireCommand, typed: string): Promise<Item[]> {
  const start = `/${command.name} `;
  const target = command.options.find(({ named }) => !named);
  const whole = wholeName(typed.slice(start.length));
  if (target?.kind === "target" && whole !== null) {
    const found = (await suggest(command.name, target.name, whole)) ?? [];
    if (found.length > 0)
      return found.map(({ label, value }) => ({ label, line: `${start}${quote(value)} ` }));
  }
  return lastOptionItems(command, typed);
}

/** Several words, or the beginning of quoted ones; null for one word, and where other options have been given. */
function wholeName(rest: string): string | null {
  const text = rest.trimStart();
  const isOpenQuote = /^["“”„][^"“”]*$/.test(text);
  if (!isOpenQuote && (!/\S\s+\S/.test(text) || /["“”=]/.test(text))) return null;
  return text.replace(/^["“”„]/, "");
}

async function lastOptionItems(command: WireCommand, typed: string): Promise<Item[]> {
  const { before, word } = lastWord(typed);
  const named = /^([a-z]+)=(.*)$/.exec(word);
  const option = named ? command.options.find(({ name }) => name === named[1]) : placed(command, before);
  if (!option) return [];
  const found = (await suggest(command.name, option.name, named ? (named[2] as string) : word)) ?? [];
  const prefix = named ? `${option.name}=` : "";
  const values = found.map(({ label, value }) => ({ label, line: `${before}${prefix}${quote(value)} ` }));
  const names = command.options
    .filter(({ name }) => !named && word !== "" && name.startsWith(word) && !before.includes(` ${name}=`))
    .map(({ name, help }) => ({ label: `${name}= · ${help}`, line: `${before}${name}=` }));
  return [...values, ...names];
}

/** The option at this place among those given without a name. */
function placed({ options }: WireCommand, before: string): WireOption | undefined {
  const names = options.map(({ name }) => name);
  const keys = splitLine(before, before.indexOf(" "), names).map(({ key }) => key);
  const open = options.filter(({ named, name }) => !named && !keys.includes(name));
  return open[keys.filter((key) => key === null).length];
}

function lastWord(typed: string): { before: string; word: string } {
  const cut = typed.lastIndexOf(" ") + 1;
  return { before: typed.slice(0, cut), word: typed.slice(cut) };
}

function quote(value: string): string {
  return /\s/.test(value) ? quoted(value) : value;
}

function open(found: readonly Item[]): void {
  items = found;
  isBehind = false;
  byId("type-list").hidden = found.length === 0;
  typeLine().setAttribute("aria-expanded", String(found.length > 0));
  mark(-1);
}

function mark(index: number): void {
  chosen = index;
  const list = byId("type-list");
  list.setAttribute("aria-busy", String(isBehind));
  draw("type-list", items.map(itemView));
  list.children[index]?.scrollIntoView({ block: "nearest" });
  if (index < 0) typeLine().removeAttribute("aria-activedescendant");
  else typeLine().setAttribute("aria-activedescendant", `type-${index}`);
}

function itemView({ label }: Item, index: number): unknown {
  const take = (event: Event): void => {
    event.preventDefault();
    choose(index);
  };
  return html`<li role="option" id="type-${index}" aria-selected=${index === chosen} @pointerdown=${take}>${label}</li>`;
}

function choose(index: number): void {
  const item = items[index];
  if (!item) return;
  typeLine().value = item.line;
  typeLine().focus();
  void complete(item.line);
}

function close(): void {
  asking += 1;
  open([]);
}
