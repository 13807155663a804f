/** A typed line as a command, where a bare name is a wish too: its card, with a press to ask. */
import type { Invocation } from "../../base/button.js";
import { listed } from "../../base/english.js";
import { Refusal } from "../../base/refusal.js";
import type { CommandSpec } from "../command.js";
import type { Services } from "../services.js";
import { assignWords } from "./assign-words.js";
import { cleanText } from "./clean-text.js";
import { parseLine } from "./parse-text.js";
import { readTarget } from "./read-sky.js";
import { readWish } from "./read-wish.js";
import { splitWish, understoodWords } from "./split-wish.js";

/**
 * Commands and plain words as `parseLine`; "M51 R 2min x3" and the like as /target.
 * @throws {Refusal} those of `parseLine`, of `readTarget`, and of a wish that is not clear
 */
export function understand(line: string, table: readonly CommandSpec[], services: Services): Invocation {
  try {
    return parseLine(line, table);
  } catch (error) {
    if (!(error instanceof Refusal) || error.code !== "not-understood") throw error;
    return bareWish(cleanText(line), table, services) ?? refuse(error);
  }
}

function refuse(error: Refusal): never {
  throw error;
}

/** null where nothing in the line is like a wish. */
function bareWish(line: string, table: readonly CommandSpec[], services: Services): Invocation | null {
  const { catalogue, config } = services;
  const { filters } = config.observatory.camera;
  const request = table.find(({ name }) => name === "request") as CommandSpec;
  // Options by their names are the exception: in a sentence "best" and "note" are words like others.
  const { target: text, ...given } = /\w=/.test(line) ? assignWords(line, 0, request) : { target: line };
  const { target, wider, second, options } = readWish(String(text ?? ""), catalogue, filters, given);
  const looked = catalogue.lookUp(wider ?? target);
  if (looked.found && second === null) return { command: "target", options: { name: line } };
  if (wider === null && "suggestions" in looked && looked.suggestions.length === 0) {
    const understood = understoodWords({ ...given, ...options });
    if (understood.length === 0 || target === "") return null;
    throw new Refusal(
      "unknown-target",
      `I understood ${listed(understood)}, but there is nothing called "${target.slice(0, 60)}" in the catalogue: type a name such as M13, Ring Nebula or Vega.`,
    );
  }
  if (target === "") return null;
  const wish = splitWish({ ...given, target: text }, catalogue, filters);
  readTarget(String(wish.target), { command: "request", options: wish, option: "target" }, services);
  return null;
}
