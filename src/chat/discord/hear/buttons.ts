/**
 * Buttons: everything needed to act is in the button's own id, so that it outlives a restart.
 * The id also carries, where asked, the mark by which a message is found again; nobody sees it.
 */
import { type APIActionRowComponent, type APIButtonComponent, ButtonStyle, ComponentType } from "discord.js";
import type { Button, Invocation } from "../../../base/button.js";
import { Refusal } from "../../../base/refusal.js";
import type { OptionSpec } from "../../../commands/command.js";
import { parseLine } from "../../../commands/read/parse-text.js";
import { commandTable } from "../../../commands/table.js";
import type { PersonId } from "../../../queue/request.js";
import { BUTTON_LABEL, BUTTONS, BUTTONS_IN_A_ROW, CUSTOM_ID, within } from "../limits.js";
import { userIdOf } from "./place.js";

/** What stands in an id after it: who may press, the mark, the command, its values in the order of its options. */
const VERSION = "ns2";
/** Buttons posted by earlier versions carry the command as a line; they work for as long as they stand. */
const WITH_LINE = "ns1";
/** Occurs in no option. */
const BREAK = "\n";
const ANYONE = "*";
/** Someone of another surface: nobody here may press it. */
const NOBODY = "-";

/** Every message of ours can offer this, so that each has a button to carry its mark. */
export const RUN_ORDER: Button = { command: "queue", options: {}, label: "Run order", onlyFor: null };

export type Row = APIActionRowComponent<APIButtonComponent>;

/** What a press means. */
export interface Press extends Invocation {
  /** The only account that may press it; null for anyone. */
  readonly onlyFor: string | null;
}

/** Rows of buttons for what can be done; a `mark` is carried by the first. */
export function buttonRows(actions: readonly Button[], mark = ""): Row[] {
  const buttons: APIButtonComponent[] = [];
  for (const action of withoutTwins(actions)) {
    const customId = idOf(action, buttons.length === 0 ? mark : "");
    if (customId.length > CUSTOM_ID || buttons.length >= BUTTONS) continue;
    buttons.push({
      type: ComponentType.Button,
      style: ButtonStyle.Secondary,
      label: within(action.label, BUTTON_LABEL),
      custom_id: customId,
    });
  }
  const rows: Row[] = [];
  for (let start = 0; start < buttons.length; start += BUTTONS_IN_A_ROW)
    rows.push({
      type: ComponentType.ActionRow,
      components: buttons.slice(start, start + BUTTONS_IN_A_ROW),
    });
  return rows;
}

/** Whether an action can be a button: it has a label, and its command is short enough, mark included. */
export function fitsButton(action: Button): boolean {
  return action.label.trim() !== "" && idOf(action, "x".repeat(25)).length <= CUSTOM_ID;
}

/** Reads a button's id; null for one that is not ours or that this version can no longer act on. */
export function readButton(customId: string): Press | null {
  const [version, who, , command, ...values] = customId.split(BREAK);
  if (who === undefined || command === undefined) return null;
  const invocation = version === VERSION ? fromValues(command, values) : fromLine(version, command);
  return invocation && { ...invocation, onlyFor: who === ANYONE ? null : who };
}

function fromValues(command: string, values: readonly string[]): Invocation {
  const given = optionsOf(command).map(({ name }, at) => [name, values[at] || undefined] as const);
  return { command, options: Object.fromEntries(given.filter(([, value]) => value !== undefined)) };
}

function fromLine(version: string | undefined, line: string): Invocation | null {
  try {
    return version === WITH_LINE ? parseLine(line, commandTable) : null;
  } catch (error) {
    if (error instanceof Refusal) return null;
    throw error;
  }
}

function optionsOf(command: string): readonly OptionSpec[] {
  return commandTable.find(({ name }) => name === command)?.options ?? [];
}

/** The mark in a message's buttons; null when there is none. */
export function markIn(components: readonly unknown[] | undefined): string | null {
  for (const row of (components ?? []) as { components?: { custom_id?: string }[] }[])
    for (const button of row.components ?? []) {
      const [version, , mark] = (button.custom_id ?? "").split(BREAK);
      if ((version === VERSION || version === WITH_LINE) && mark) return mark;
    }
  return null;
}

function idOf({ command, options, onlyFor }: Button, mark: string): string {
  const values = optionsOf(command).map(({ name }) => String(options[name] ?? "").replaceAll(BREAK, " "));
  while (values.at(-1) === "") values.pop();
  return [VERSION, account(onlyFor), mark, command, ...values].join(BREAK);
}

function account(personId: PersonId | null): string {
  return personId === null ? ANYONE : (userIdOf(personId) ?? NOBODY);
}

/** A message may not carry the same button twice. */
function withoutTwins(actions: readonly Button[]): Button[] {
  const seen = new Map(actions.map((action) => [idOf(action, ""), action]));
  return [...seen.values()];
}
