/** A command as a form: one field for each option, made from the command table. */
import { html, nothing } from "lit-html";
import { keyed } from "lit-html/directives/keyed.js";
import type { WireAction, WireCommand, WireOption, WireReply } from "../../wire.js";
import { button, byId, chip, FITS, onSubmit } from "../draw/dom.js";
import { actionRow, paragraphs } from "../draw/lines.js";
import { closeSheet, drawSheet, openSheet } from "../draw/sheet.js";
import { askCommand, showReply } from "./answer-card.js";
import { deedWords, fieldWords, nothingWords, oneOf } from "./form-words.js";
import { runCommand, runWithFiles, type Suggestions, suggest } from "./to-server.js";

/** Shown at once, with all that must be given; the others fold away. */
const SHOWN_FIRST = 4;
const MOST_CHOICES = 8;
const PAUSE_MS = 150;

/** Opens the form; a command with nothing to fill in runs at once. */
export function openForm(command: WireCommand, title: string): void {
  const options = command.options.filter(({ byButton }) => !byButton);
  if (options.length === 0) void askCommand(command.name, {});
  else new CommandForm({ ...command, options }, title).open();
}

class CommandForm {
  /** What fits each option, as far as the server has said: null when it did not answer. */
  private readonly offered = new Map<string, Suggestions | null>();
  private readonly asked = new Map<string, Promise<Suggestions | null>>();
  /** Which of several ways, with the one field that goes with it. */
  private way: WireOption | null = null;
  private refused: WireReply | null = null;
  private isBusy = false;
  /** Of files on their way. */
  private sending: string | null = null;
  private form: HTMLFormElement | null = null;
  private pause = 0;

  constructor(
    private readonly command: WireCommand,
    private readonly title: string,
  ) {}

  open(): void {
    openSheet(this.title, this.view());
    this.form = byId("sheet-body").querySelector("form");
    const ways = oneOf(this.command).map(([way]) => way);
    for (const option of this.command.options) if (!ways.includes(option)) this.prepare(option);
    this.focusFirst();
  }

  /** Asks for what can be pressed; what is typed is suggested at once where something must be given. */
  private prepare(option: WireOption): void {
    if (isPressed(option) || (option.required && hasSuggestions(option))) void this.offer(option, "");
  }

  private draw(): void {
    if (this.form?.isConnected) drawSheet(this.title, this.view());
  }

  private view(): unknown {
    const { command, title, form } = this;
    const ways = oneOf(command);
    const plain = command.options.filter((option) => !ways.some(([way]) => way === option));
    const isFirst = (option: WireOption, index: number): boolean => option.required || index < SHOWN_FIRST;
    const first = plain.filter(isFirst).map((option) => this.field(option));
    const rest = plain.filter((option, index) => !isFirst(option, index)).map((option) => this.field(option));
    return html`<form class="command" autocomplete="off" aria-busy=${this.isBusy} @change=${() => this.draw()}
      @submit=${onSubmit((sent) => void this.send(sent))}>
      <p class="quiet">${command.help}</p>${ways.length > 0 ? this.whichWay(ways) : nothing}${first}
      ${rest.length > 0 ? html`<details><summary>More choices</summary>${rest}</details>` : nothing}
      <div role="alert" class="problem">${this.refused ? this.problem(this.refused) : nothing}</div>
      <button type="submit" class="go">${this.sending ?? deedWords(command, form ? valuesOf(command, form) : {}, title)}</button>
    </form>`;
  }

  /** On a touch screen the title keeps the focus: a field's keyboard would cover what can be pressed instead. */
  private focusFirst(): void {
    if (!matchMedia("(pointer: coarse)").matches) this.form?.querySelector("input")?.focus();
  }

  private whichWay(ways: ReturnType<typeof oneOf>): unknown {
    const chips = ways.map(([option, label], index) => {
      const onChoose = (): void => {
        this.way = option;
        this.draw();
        if (option.choices.length !== 1) this.prepare({ ...option, required: true });
      };
      return chip(`${this.command.name}-way-${index}`, label, { name: "way", required: true, onChoose });
    });
    const { way } = this;
    const given =
      way?.choices.length === 1
        ? html`<input type="hidden" name=${way.name} value=${way.choices[0] as string}>`
        : way && this.field({ ...way, required: true });
    return html`<fieldset><legend>What</legend><div class="chips">${chips}</div></fieldset>
      <div>${keyed(way, given ?? nothing)}</div>`;
  }

  private field(option: WireOption): unknown {
    const { onlyWith } = option;
    const shown = onlyWith === null || onlyWith.choices.includes(this.chosen(onlyWith.option));
    // Kept in its place, so that what was typed in it is there again.
    return html`<div ?hidden=${!shown}>${
      isPressed(option)
        ? this.chips(option)
        : option.kind === "files"
          ? this.picker(option)
          : this.input(option)
    }</div>`;
  }

  private chosen(name: string): string {
    return this.form ? (valuesOf(this.command, this.form)[name] ?? "") : "";
  }

  private picker(option: WireOption): unknown {
    const { name, help } = option;
    const id = `${this.command.name}-${name}`;
    return html`<div class="field"><label for=${id}>${fieldWords(option)}</label>
      <span class="quiet" id="${id}-help">${help}</span>
      <input type="file" id=${id} name=${name} multiple accept=${FITS} aria-describedby="${id}-help"></div>`;
  }

  /** Large choices to press, filled from the server's suggestions. */
  private chips(option: WireOption): unknown {
    const { name, required, help } = option;
    const found = this.offered.get(name);
    const isOnly = required && found?.length === 1;
    const choices = (found ?? []).map(({ label, value }, index) =>
      this.chipOf(option, label, value, index, isOnly),
    );
    const none = required ? nothing : this.chipOf(option, nothingWords(this.command, option), "", -1, true);
    const whyEmpty = found ? "There is nothing to choose." : "No answer yet: close this and open it again.";
    const empty = choices.length === 0 ? html`<p class="quiet">${whyEmpty}</p>` : nothing;
    const chips = found === undefined ? html`<span class="quiet">…</span>` : [empty, none, choices];
    return html`<fieldset><legend>${fieldWords({ name, required: true })}</legend><span class="quiet">${help}</span>
      <div class="chips">${chips}</div></fieldset>`;
  }

  private chipOf(
    { name, required }: WireOption,
    label: string,
    value: string,
    index: number,
    checked: boolean,
  ) {
    return chip(`${this.command.name}-${name}-${index}`, label, { name, value, checked, required });
  }

  /** A field to type in, with what fits as large choices beneath. */
  private input(option: WireOption): unknown {
    const { name, kind, required, help, maxLength } = option;
    const id = `${this.command.name}-${name}`;
    const mode = kind === "whole" ? "numeric" : kind === "number" ? "decimal" : nothing;
    const choices = (this.offered.get(name) ?? [])
      .slice(0, MOST_CHOICES)
      .map(({ label, value }) => button(label, () => this.choose(option, value), "choice"));
    return html`<div class="field"><label for=${id}>${fieldWords(option)}</label>
      <span class="quiet" id="${id}-help">${help}</span>
      <input type="text" id=${id} name=${name} ?required=${required} maxlength=${maxLength ?? 200} autocapitalize="off"
        spellcheck=${kind === "text"} inputmode=${mode} aria-describedby="${id}-help"
        @input=${(event: Event) => this.typed(option, event)} @focus=${(event: Event) => this.entered(option, event)}>
      <div class="choices" role="group" aria-label="Suggestions for ${name}">${choices}</div></div>`;
  }

  private typed(option: WireOption, { target }: Event): void {
    if (!hasSuggestions(option)) return;
    clearTimeout(this.pause);
    this.pause = setTimeout(() => void this.offer(option, (target as HTMLInputElement).value), PAUSE_MS);
  }

  /** The first time that a reader comes to a field which asks for nothing by itself. */
  private entered(option: WireOption, { target }: Event): void {
    if (hasSuggestions(option) && !this.asked.has(option.name))
      void this.offer(option, (target as HTMLInputElement).value);
  }

  private async offer(option: WireOption, typed: string): Promise<void> {
    const asking = suggest(this.command.name, option.name, typed);
    this.asked.set(option.name, asking);
    const found = await asking;
    if (this.asked.get(option.name) !== asking) return;
    this.offered.set(option.name, found);
    const input = this.form?.querySelector("input");
    this.draw();
    // What can be pressed has come under the title: the first of it is where to begin.
    const isBegun = document.activeElement?.id !== "sheet-head";
    if (!isBegun && this.form?.querySelector("input") !== input) this.focusFirst();
  }

  private choose(option: WireOption, value: string): void {
    const line = byId<HTMLInputElement>(`${this.command.name}-${option.name}`);
    line.value = value;
    this.offered.delete(option.name);
    this.draw();
    line.focus();
  }

  private problem({ lines, actions }: WireReply): unknown {
    const instead = (action: WireAction): void => {
      closeSheet();
      void askCommand(action.command, action.options);
    };
    return [paragraphs(lines), actionRow(actions, instead)];
  }

  private run(form: HTMLFormElement): Promise<WireReply> {
    const { name, options } = this.command;
    const values = valuesOf(this.command, form);
    const taking = options.find((each) => each.kind === "files" && !isHidden(form, each.name));
    const picked = taking && new FormData(form).getAll(taking.name).filter((each) => each instanceof File);
    // A field that was left alone sends one file without a name.
    const files = (picked ?? []).filter((file) => file.name !== "");
    const onSending = (text: string): void => {
      this.sending = text;
      this.draw();
    };
    return taking
      ? runWithFiles(name, values, { option: taking.name, files, onSending })
      : runCommand(name, values);
  }

  /** What was refused is said in the form, which keeps what was typed; every other answer is shown on the desk. */
  private async send(form: HTMLFormElement): Promise<void> {
    this.refused = null;
    this.isBusy = true;
    this.draw();
    const reply = await this.run(form);
    this.isBusy = false;
    this.sending = null;
    if (reply.tone === "refused" && form.isConnected) {
      this.refused = reply;
      this.draw();
      form.querySelector(".problem")?.scrollIntoView({ block: "nearest" });
      return;
    }
    closeSheet();
    showReply(reply);
  }
}

function valuesOf({ options }: WireCommand, form: HTMLFormElement): Record<string, string> {
  const values: Record<string, string> = {};
  for (const [name, value] of new FormData(form)) {
    const option = options.find((each) => each.name === name);
    if (!option || isHidden(form, name)) continue;
    if (typeof value === "string" && value.trim() !== "") values[name] = value.trim();
  }
  return values;
}

/** A field that does not go with what is chosen. */
function isHidden(form: HTMLFormElement, name: string): boolean {
  return form.querySelector(`[hidden] [name="${name}"]`) !== null;
}

function isPressed({ kind }: WireOption): boolean {
  return ["choice", "filter", "request"].includes(kind);
}

function hasSuggestions({ kind, name }: WireOption): boolean {
  return ["target", "person", "date"].includes(kind) || name === "group" || name === "command";
}
