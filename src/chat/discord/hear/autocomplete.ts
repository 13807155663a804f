/** Suggestions while an option is being typed: computed before all other work, never more than the platform shows. */
import {
  type APIApplicationCommandAutocompleteInteraction,
  type APIApplicationCommandOptionChoice,
  InteractionResponseType,
} from "discord.js";
import type { Suggestion } from "../../../commands/command.js";
import type { Kit } from "../kit.js";
import { CHOICE_TEXT, CHOICES, within } from "../limits.js";
import { type Present, presentIn } from "./asker.js";
import { WrongPlace } from "./wrong-place.js";

/** Answers one keystroke; an empty list where there is nothing to offer. */
export async function answerAutocomplete(
  kit: Kit,
  interaction: APIApplicationCommandAutocompleteInteraction,
): Promise<void> {
  const choices = await kit.turns.soon(() => choicesFor(kit, interaction));
  await kit.api.answer(interaction, {
    type: InteractionResponseType.ApplicationCommandAutocompleteResult,
    data: { choices },
  });
}

function choicesFor(
  { host, source, places }: Kit,
  interaction: APIApplicationCommandAutocompleteInteraction,
): APIApplicationCommandOptionChoice[] {
  const { name, options } = interaction.data;
  const focused = options.find((each) => "focused" in each && each.focused);
  const spec = source.table.find((each) => each.name === name);
  const option = spec?.options.find((each) => each.name === focused?.name);
  const present = presentOrNull(interaction, places, host.services.desk.state);
  if (!option || !present || !focused) return [];
  const typed = "value" in focused ? String(focused.value).slice(0, CHOICE_TEXT) : "";
  const suggestions = host.suggest(name, option.name, typed, present.asker);
  return toChoices(suggestions, option.kind === "request");
}

/** Where it is not clear which class is meant there is nothing to offer; sending it says why. */
function presentOrNull(...of: Parameters<typeof presentIn>): Present | null {
  try {
    return presentIn(...of);
  } catch (error) {
    if (error instanceof WrongPlace) return null;
    throw error;
  }
}

/** Distinct choices within the platform's limits; for numbers, only what is a number. */
function toChoices(
  suggestions: readonly Suggestion[],
  numeric: boolean,
): APIApplicationCommandOptionChoice[] {
  const choices = new Map<string | number, APIApplicationCommandOptionChoice>();
  for (const { label, value } of suggestions) {
    const filled = numeric ? Number(value.replace(/^#/, "")) : value;
    const name = within(label.trim() || value, CHOICE_TEXT);
    if (name === "" || choices.has(filled)) continue;
    if (typeof filled === "number" ? !Number.isInteger(filled) : filled.length > CHOICE_TEXT) continue;
    choices.set(filled, { name, value: filled });
    if (choices.size === CHOICES) break;
  }
  return [...choices.values()];
}
