/**
 * Buttons: everything needed to act is in the button's own id, so that it outlives a restart.
 * The id also carries, where asked, the mark by which a message is found again; nobody sees it.
 */
import { type APIActionRowComponent, type APIButtonComponent, ButtonStyle, ComponentType } from "discord.js";
import type { Action } from "../../../base/action.js";
import type { PersonId } from "../../../queue/request.js";
import { BUTTON_LABEL, BUTTONS, BUTTONS_IN_A_ROW, CUSTOM_ID, within } from "../limits.js";
import { userIdOf } from "./place.js";

const VERSION = "ns1";
/** Cannot occur in a command line. */
const BREAK = "\n";
const ANYONE = "*";
/** Someone of another surface: nobody here may press it. */
const NOBODY = "-";

/** Every message of ours can offer this, so that each has a button to carry its mark. */
export const RUN_ORDER: Action = { command: "/queue", label: "Run order", onlyFor: null };

export type Row = APIActionRowComponent<APIButtonComponent>;

/** What a press means. */
export interface Press {
  readonly command: string;
  /** The only account that may press it; null for anyone. */
  readonly onlyFor: string | null;
}

/** Rows of buttons for what can be done; a `mark` is carried by the first. */
export function buttonRows(actions: readonly Action[], mark = ""): Row[] {
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
export function fitsButton(action: Action): boolean {
  const named = action.label.trim() !== "" && action.command.trim() !== "";
  return named && idOf(action, "x".repeat(25)).length <= CUSTOM_ID;
}

/** Reads a button's id; null for one that is not ours or from before a change of form. */
export function readButton(customId: string): Press | null {
  const [version, who, , ...command] = customId.split(BREAK);
  if (version !== VERSION || who === undefined || command.length === 0) return null;
  return { command: command.join(" "), onlyFor: who === ANYONE ? null : who };
}

/** The mark in a message's buttons; null when there is none. */
export function markIn(components: readonly unknown[] | undefined): string | null {
  for (const row of (components ?? []) as { components?: { custom_id?: string }[] }[])
    for (const button of row.components ?? []) {
      const [version, , mark] = (button.custom_id ?? "").split(BREAK);
      if (version === VERSION && mark) return mark;
    }
  return null;
}

function idOf({ command, onlyFor }: Action, mark: string): string {
  return [VERSION, account(onlyFor), mark, command.replaceAll(BREAK, " ")].join(BREAK);
}

function account(personId: PersonId | null): string {
  return personId === null ? ANYONE : (userIdOf(personId) ?? NOBODY);
}

/** A message may not carry the same button twice. */
function withoutTwins(actions: readonly Action[]): Action[] {
  const seen = new Map(actions.map((action) => [idOf(action, ""), action]));
  return [...seen.values()];
}
