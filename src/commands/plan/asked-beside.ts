/** What somebody said beside a target's name: "M51 R 2min x3" shows M51's card with that wish to press. */
import { listed } from "../../base/english.js";
import { clockTime, type Phrase, say } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import type { UtcMillis } from "../../base/units.js";
import { wishWords } from "../../notices/words/amounts.js";
import type { Target } from "../../sky/target.js";
import type { Call, CommandSpec, RawOptions } from "../command.js";
import { readOptions } from "../read/options.js";
import { readWish } from "../read/read-wish.js";
import { splittable } from "../read/split-wish.js";
import { makeWish } from "../read/wish.js";
import type { Services } from "../services.js";
import { assessed, signalWords, usualWish } from "./frame-view.js";

/** What is shown of it, and the options with which a press asks. */
export interface AskedBeside {
  readonly lines: readonly Phrase[];
  readonly options: RawOptions;
}

/**
 * @param text all that was said
 * @param request the command that takes the wish
 * @param unixMs when the target would be observed
 */
export function askedBeside(
  text: string | number | undefined,
  target: Target,
  request: Pick<CommandSpec, "name" | "options" | "examples">,
  unixMs: UtcMillis,
  call: Call,
  services: Services,
): AskedBeside {
  const { catalogue, config } = services;
  const read = readWish(splittable(text) ?? "", catalogue, config.observatory.camera.filters);
  const { date: _, ...said } = read.options;
  const known = request.options.map(({ name }) => name);
  const options = Object.fromEntries(Object.entries(said).filter(([name]) => known.includes(name)));
  const strange = [...read.strange, ...Object.keys(said).filter((name) => !known.includes(name))];
  const unknown =
    strange.length === 0
      ? []
      : [say`I did not understand ${listed(strange.slice(0, 4).map((word) => `“${word.slice(0, 40)}”`))}.`];
  const other = read.forOther
    ? [say`A request is always your own: let the other person ask for theirs.`]
    : [];
  if (Object.keys(options).length === 0) return { lines: [...unknown, ...other], options };
  try {
    const values = readOptions(request, { target: target.id, ...options }, call, services) as unknown as Said;
    const { notbefore = null, note = null } = values;
    const asked = { ...values, target, notBeforeUnixMs: notbefore, note };
    const wish = makeWish(asked, config, (wanted, through) => usualWish(wanted, through, unixMs, config));
    const seen = assessed(wish, unixMs, config);
    const words = seen === null ? null : signalWords(seen);
    const after = notbefore === null ? [] : say`, not before ${clockTime(notbefore)}`;
    const what = say`As you wrote it: ${wishWords(wish)}${after}${note === null ? "" : `, note “${note}”`}`;
    return {
      lines: [say`${what}${words === null ? "" : `; expect ${words}`}.`, ...unknown, ...other],
      options,
    };
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    return { lines: [[error.message], ...unknown, ...other], options: {} };
  }
}

interface Said {
  readonly filter: string | undefined;
  readonly exposure: number | undefined;
  readonly frames: number | undefined;
  readonly notbefore?: UtcMillis;
  readonly note?: string;
}
