/** The typing line: commands and plain words, with completion of commands, options and targets. */
import type { WireCommand, WireOption } from "../wire.js";
import { askLine } from "./answer-card.js";
import { suggest } from "./ask.js";
import { byId, el } from "./dom.js";
import { greeting } from "./me.js";

interface Item {
  readonly label: string;
  /** The whole line when chosen. */
  readonly line: string;
}

const PAUSE_MS = 130;
const MOST_ITEMS = 8;

let items: readonly Item[] = [];
let chosen = -1;
let timer = 0;
let asking = 0;

/** Wires the line up once. */
export function startTyping(): void {
  const line = byId<HTMLInputElement>("type-line");
  byId("type").addEventListener("submit", (event) => {
    event.preventDefault();
    if (chosen >= 0) return choose(chosen);
    const typed = line.value.trim();
    if (typed === "") return;
    line.value = "";
    close();
    void askLine(typed);
  });
  line.addEventListener("input", () => {
    clearTimeout(timer);
    // What is listed belongs to what was typed before.
    mark(-1);
    byId("type-list").setAttribute("aria-busy", "true");
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

function onKey(event: KeyboardEvent): void {
  if (event.key === "Escape") close();
  if (event.key === "Tab" && chosen >= 0) {
    event.preventDefault();
    choose(chosen);
  }
  if (
    items.length === 0 ||
    byId("type-list").ariaBusy === "true" ||
    (event.key !== "ArrowDown" && event.key !== "ArrowUp")
  )
    return;
  event.preventDefault();
  const step = event.key === "ArrowDown" ? 1 : -1;
  mark((chosen + step + items.length) % items.length);
}

async function complete(typed: string): Promise<void> {
  const turn = ++asking;
  const found = typed.startsWith("/") ? await itemsFor(typed) : [];
  if (turn !== asking || byId<HTMLInputElement>("type-line").value !== typed) return;
  open(found.slice(0, MOST_ITEMS));
}

async function itemsFor(typed: string): Promise<Item[]> {
  const commands = greeting()?.commands ?? [];
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
function placed(command: WireCommand, before: string): WireOption | undefined {
  const words = before
    .replace(/"[^"]*"/g, "quoted")
    .trim()
    .split(/\s+/)
    .slice(1);
  const bare = words.filter((word) => !/^[a-z]+=/.test(word)).length;
  const open = command.options.filter(({ named, name }) => !named && !before.includes(` ${name}=`));
  return open[bare];
}

function lastWord(typed: string): { before: string; word: string } {
  const cut = typed.lastIndexOf(" ") + 1;
  return { before: typed.slice(0, cut), word: typed.slice(cut) };
}

function quote(value: string): string {
  return /\s/.test(value) ? `"${value}"` : value;
}

function open(found: readonly Item[]): void {
  items = found;
  const list = byId("type-list");
  list.replaceChildren(
    ...found.map((item, index) => {
      const entry = el("li", { role: "option", id: `type-${index}`, "aria-selected": "false" }, item.label);
      entry.addEventListener("pointerdown", (event) => {
        event.preventDefault();
        choose(index);
      });
      return entry;
    }),
  );
  list.hidden = found.length === 0;
  list.setAttribute("aria-busy", "false");
  byId("type-line").setAttribute("aria-expanded", String(found.length > 0));
  mark(-1);
}

function mark(index: number): void {
  chosen = index;
  const line = byId("type-line");
  [...byId("type-list").children].forEach((entry, place) => {
    entry.setAttribute("aria-selected", String(place === index));
    if (place === index) entry.scrollIntoView({ block: "nearest" });
  });
  if (index < 0) line.removeAttribute("aria-activedescendant");
  else line.setAttribute("aria-activedescendant", `type-${index}`);
}

function choose(index: number): void {
  const item = items[index];
  const line = byId<HTMLInputElement>("type-line");
  if (!item) return;
  line.value = item.line;
  line.focus();
  void complete(item.line);
}

function close(): void {
  asking += 1;
  open([]);
}
