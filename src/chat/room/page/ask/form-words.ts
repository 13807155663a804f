/** What a form calls things: the button by what it does, a field by its own words, "nothing chosen" by what that means. */
import type { WireCommand, WireOption } from "../../wire.js";

/** What the button of a form says it does. */
const DEEDS: Record<string, string> = {
  request: "Ask for it",
  withdraw: "Withdraw it",
  wait: "Wait for its best",
  join: "Join it",
  forget: "Forget me",
  when: "Tell me when",
  why: "Tell me why",
  target: "Look it up",
  queue: "Show the queue",
  tonight: "Show what is up",
  alerts: "Set it",
  help: "Show help",
  announce: "Announce it",
  cancel: "Cancel with this reason",
  undo: "Undo it",
  return: "Put it back",
  hold: "Place the hold",
  mark: "Mark it so",
  resume: "Lift the hold",
  equipment: "Report it",
  rule: "Set the rule",
  plan: "Plan it",
  results: "Fetch the results",
  session: "Show the session",
};

/** Where a choice changes what is done: by command, option and value. */
const DEEDS_BY_CHOICE: Record<string, Record<string, string>> = {
  "wait.until": { best: "Wait for its best", now: "Wait no longer" },
  "session.action": {
    open: "Open asking",
    close: "Close asking",
    always: "Let them ask always",
    roster: "Show the roster",
    groups: "Set the group",
  },
};

/** What it means to choose nothing. */
const NOTHING: Record<string, string> = {
  filter: "usual",
  group: "none",
  confirm: "not yet",
  how: "as it is",
  "rule.name": "as it is",
  "session.action": "just show it",
  "mark.request": "under way or next",
  "mark.what": "just show it",
  "equipment.part": "just show it",
  "equipment.state": "just show it",
};

/** A field's name where the option's is not a word. */
const FIELD_NAMES: Record<string, string> = { notbefore: "Not before", anyway: "Even so" };

/** Options of which one is given: first the form asks which. */
const ONE_OF: Record<string, readonly (readonly [option: string, label: string])[]> = {
  cancel: [
    ["request", "one request"],
    ["person", "a person"],
    ["target", "a target"],
    ["group", "a group"],
    ["all", "everything"],
  ],
};

/** The words on the button: by the command, or by what has been chosen in the form. */
export function deedWords(
  command: Pick<WireCommand, "name">,
  values: Readonly<Record<string, string>>,
  title: string,
): string {
  for (const [option, value] of Object.entries(values)) {
    const words = DEEDS_BY_CHOICE[`${command.name}.${option}`]?.[value];
    if (words !== undefined) return words;
  }
  return DEEDS[command.name] ?? title;
}

/** "no matter", "none", "usual": the choice of nothing. */
export function nothingWords(command: Pick<WireCommand, "name">, option: Pick<WireOption, "name">): string {
  return NOTHING[`${command.name}.${option.name}`] ?? NOTHING[option.name] ?? "no matter";
}

/** "Not before", "Exposure (optional)" */
export function fieldWords({ name, required }: Pick<WireOption, "name" | "required">): string {
  const words = FIELD_NAMES[name] ?? name.charAt(0).toUpperCase() + name.slice(1);
  return required ? words : `${words} (optional)`;
}

/** Options of which exactly one is given, with what they are called; empty where the command has none such. */
export function oneOf(
  command: Pick<WireCommand, "name" | "options">,
): readonly (readonly [option: WireOption, label: string])[] {
  return (ONE_OF[command.name] ?? []).flatMap(([name, label]) => {
    const option = command.options.find((each) => each.name === name);
    return option ? [[option, label] as const] : [];
  });
}
