/** Commands in the words of the site: under a roll-off roof nobody reads of a dome. */
import type { Config } from "../config/config.js";
import { atSite, hasRoof } from "../notices/words/roof.js";
import type { CommandSpec, OptionSpec } from "./command.js";

/** The table as a surface offers it; what is chosen from it is understood either way. */
export function tableAtSite(
  table: readonly CommandSpec[],
  config: Pick<Config, "observatory">,
): readonly CommandSpec[] {
  if (!hasRoof(config)) return table;
  const said = (text: string): string => atSite(text, config);
  const option = (spec: OptionSpec): OptionSpec => ({
    ...spec,
    help: said(spec.help),
    ...(spec.choices && { choices: spec.choices.map(said) }),
  });
  return table.map((spec) => ({
    ...spec,
    help: said(spec.help),
    options: spec.options.map(option),
    examples: spec.examples.map(said),
  }));
}
