/** A command as a form: one field for each option, made from the command table. */
import type { WireAction, WireCommand, WireOption } from "../wire.js";
import { askCommand, showReply } from "./answer-card.js";
import { runCommand, suggest } from "./ask.js";
import { el, setText } from "./dom.js";
import { deedWords, fieldWords, nothingWords, oneOf } from "./form-words.js";
import { actionRow, paragraphs } from "./lines.js";
import { closeSheet, openSheet } from "./sheet.js";

/** Shown at once, with all that must be given; the others fold away. */
const SHOWN_FIRST = 4;

/** Opens the form; a command without options runs at once. */
export function openForm(command: WireCommand, title: string): void {
  if (command.options.length === 0) {
    void askCommand(command.name, {});
    return;
  }
  const ways = oneOf(command);
  const plain = command.options.filter((option) => !ways.some(([way]) => way === option));
  const isFirst = (option: WireOption, index: number): boolean => option.required || index < SHOWN_FIRST;
  const first = plain.filter(isFirst).map((option) => field(command, option));
  const rest = plain
    .filter((option, index) => !isFirst(option, index))
    .map((option) => field(command, option));
  const problem = el("div", { role: "alert", class: "problem" });
  const go = el("button", { type: "submit", class: "go" }, deedWords(command, {}, title));
  const form = el(
    "form",
    { class: "command", autocomplete: "off" },
    el("p", { class: "quiet" }, command.help),
    ...(ways.length > 0 ? whichWay(command, ways) : []),
    ...first,
    rest.length > 0 ? el("details", {}, el("summary", {}, "More choices"), ...rest) : null,
    problem,
    go,
  );
  form.addEventListener("change", () => setText(go, deedWords(command, valuesOf(command, form), title)));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    void send(command, form, problem);
  });
  openSheet(title, form);
  focusFirst(form);
}

/** On a touch screen the title keeps the focus: a field's keyboard would cover what can be pressed instead. */
function focusFirst(form: HTMLFormElement): void {
  if (!matchMedia("(pointer: coarse)").matches) form.querySelector("input")?.focus();
}

/** Which of several ways, then the one field that goes with it. */
function whichWay(command: WireCommand, ways: ReturnType<typeof oneOf>): HTMLElement[] {
  const place = el("div", {});
  const chips = ways.map(([option, label], index) => {
    const id = `${command.name}-way-${index}`;
    const radio = el("input", { type: "radio", name: "way", id, required: true });
    radio.addEventListener("change", () => {
      const given = option.choices.length === 1 ? option.choices[0] : undefined;
      place.replaceChildren(
        given === undefined
          ? field(command, { ...option, required: true })
          : el("input", { type: "hidden", name: option.name, value: given }),
      );
    });
    return el("span", { class: "chip" }, radio, el("label", { for: id }, label));
  });
  return [el("fieldset", {}, el("legend", {}, "What"), el("div", { class: "chips" }, ...chips)), place];
}

/** What was refused is said in the form, which keeps what was typed; every other answer is shown on the desk. */
async function send(command: WireCommand, form: HTMLFormElement, problem: HTMLElement): Promise<void> {
  problem.replaceChildren();
  form.setAttribute("aria-busy", "true");
  const reply = await runCommand(command.name, valuesOf(command, form));
  form.removeAttribute("aria-busy");
  if (reply.tone === "refused" && form.isConnected) {
    const instead = (action: WireAction): void => {
      closeSheet();
      void askCommand(action.command, action.options);
    };
    problem.replaceChildren(...paragraphs(reply.lines), actionRow(reply.actions, instead) ?? "");
    problem.scrollIntoView({ block: "nearest" });
    return;
  }
  closeSheet();
  showReply(reply);
}

function valuesOf({ options }: WireCommand, form: HTMLFormElement): Record<string, string> {
  const values: Record<string, string> = {};
  for (const [name, value] of new FormData(form)) {
    if (!options.some((option) => option.name === name)) continue;
    if (typeof value === "string" && value.trim() !== "") values[name] = value.trim();
  }
  return values;
}

function field(command: WireCommand, option: WireOption): HTMLElement {
  switch (option.kind) {
    case "choice":
    case "filter":
    case "request":
      return chips(command, option);
    case "whole":
    case "number":
      return input(command, option, {
        type: "text",
        inputmode: option.kind === "whole" ? "numeric" : "decimal",
      });
    default:
      return input(command, option, { type: "text" });
  }
}

/** Large choices to press, filled from the server's suggestions. */
function chips(command: WireCommand, option: WireOption): HTMLElement {
  const box = el("div", { class: "chips" }, el("span", { class: "quiet" }, "…"));
  void suggest(command.name, option.name, "").then((found) => {
    const none = option.required ? [] : [{ label: nothingWords(command, option), value: "" }];
    const choices = (found ?? []).map((each, index) =>
      chip(command, option, each, index, option.required && found?.length === 1),
    );
    const nothing = choices.length === 0 ? [el("p", { class: "quiet" }, whyEmpty(found))] : [];
    box.replaceChildren(...nothing, ...none.map((each) => chip(command, option, each, -1, true)), ...choices);
    const form = box.closest("form");
    if (
      form &&
      document.activeElement?.id === "sheet-head" &&
      form.querySelector("input") === box.querySelector("input")
    ) {
      focusFirst(form);
    }
  });
  const legend = el("legend", {}, fieldWords({ ...option, required: true }));
  return el("fieldset", {}, legend, el("span", { class: "quiet" }, option.help), box);
}

function whyEmpty(found: readonly unknown[] | null): string {
  return found ? "There is nothing to choose." : "No answer yet: close this and open it again.";
}

function chip(
  command: WireCommand,
  option: WireOption,
  { label, value }: { readonly label: string; readonly value: string },
  index: number,
  checked: boolean,
): HTMLElement {
  const id = `${command.name}-${option.name}-${index}`;
  const radio = el("input", {
    type: "radio",
    name: option.name,
    value,
    id,
    checked,
    required: option.required,
  });
  return el("span", { class: "chip" }, radio, el("label", { for: id }, label));
}

/** A field to type in, with what fits as large choices beneath. */
function input(command: WireCommand, option: WireOption, attributes: Record<string, string>): HTMLElement {
  const id = `${command.name}-${option.name}`;
  const line = el("input", {
    ...attributes,
    id,
    name: option.name,
    required: option.required,
    maxlength: option.maxLength ?? 200,
    autocapitalize: "off",
    spellcheck: option.kind === "text",
    "aria-describedby": `${id}-help`,
  });
  const list = el("div", { class: "choices", role: "group", "aria-label": `Suggestions for ${option.name}` });
  if (hasSuggestions(option)) offer(command, option, line, list);
  return el(
    "div",
    { class: "field" },
    el("label", { for: id }, fieldWords(option)),
    el("span", { class: "quiet", id: `${id}-help` }, option.help),
    line,
    list,
  );
}

function offer(command: WireCommand, option: WireOption, line: HTMLInputElement, list: HTMLElement): void {
  let turn = 0;
  let timer = 0;
  const fill = async (): Promise<void> => {
    const mine = ++turn;
    const found = await suggest(command.name, option.name, line.value);
    if (mine !== turn) return;
    list.replaceChildren(
      ...(found ?? []).slice(0, 8).map(({ label, value }) => {
        const choice = el("button", { type: "button", class: "choice" }, label);
        choice.addEventListener("click", () => {
          line.value = value;
          list.replaceChildren();
          line.focus();
        });
        return choice;
      }),
    );
  };
  line.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(() => void fill(), 150);
  });
  if (option.required) void fill();
  else line.addEventListener("focus", () => void fill(), { once: true });
}

function hasSuggestions({ kind, name }: WireOption): boolean {
  return ["target", "person", "date"].includes(kind) || name === "group" || name === "command";
}
