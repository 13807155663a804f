/** Describes a command once, so that its options arrive read, checked and typed. */
import type { UtcMillis } from "../base/units.js";
import type { Acted, Decide } from "../journal/desk.js";
import type { Call, CommandSpec, OptionKind, OptionSpec, RawOptions } from "./command.js";
import type { KindValue } from "./read/kind-value.js";
import { readOptions } from "./read/options.js";
import type { Reply } from "./reply.js";
import type { Present, Services } from "./services.js";

type ValueOf<S extends OptionSpec> = S extends {
  readonly kind: "choice";
  readonly choices: readonly (infer C extends string)[];
}
  ? C
  : KindValue[S["kind"] & OptionKind];

/** The read options of a command, by name. */
export type Values<O extends readonly OptionSpec[]> = {
  readonly [S in O[number] as S["name"]]: S extends { readonly required: true }
    ? ValueOf<S>
    : ValueOf<S> | undefined;
};

/** One use of a command, ready to be decided. */
export interface Ask<V = unknown> {
  readonly call: Call;
  readonly values: V;
  readonly services: Present;
  readonly now: UtcMillis;
  /** Decides and stores in the asker's name; the same delivery a second time changes nothing. */
  act(decide: Decide): Promise<Acted>;
}

export interface Definition<O extends readonly OptionSpec[]> extends Omit<CommandSpec, "options" | "run"> {
  readonly options: O;
  /** Sorts out what was typed in one breath ("M13 clear 20 3") before the options are read. */
  readonly prepare?: (raw: RawOptions, services: Services) => RawOptions;
  readonly answer: (ask: Ask<Values<O>>) => Promise<Reply>;
}

/** Makes a table entry whose `run` reads and checks the options, then answers. */
export function defineCommand<const O extends readonly OptionSpec[]>(definition: Definition<O>): CommandSpec {
  const { prepare, answer, ...described } = definition;
  return {
    ...described,
    run: async (call, services) => {
      const raw = prepare ? prepare(call.options, services) : call.options;
      const values = readOptions(described, raw, call, services) as Values<O>;
      const now = services.clock.now();
      const by = { by: call.asker.id, onceKey: call.onceKey };
      const act = (decide: Decide): Promise<Acted> => services.desk.act(decide, by);
      return answer({ call, values, services: { ...services, now }, now, act });
    },
  };
}
