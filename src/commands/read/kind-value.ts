/** What each kind of option becomes once it is read. */
import type { UtcMillis } from "../../base/units.js";
import type { PersonId } from "../../queue/request.js";
import type { Target } from "../../sky/target.js";
import type { GivenFile } from "../command.js";

/** What each kind of option becomes. */
export interface KindValue {
  readonly target: Target;
  /** The filter's name as the configuration spells it. */
  readonly filter: string;
  /** The number of a request that exists. */
  readonly request: number;
  /** Someone of the asker's own class. */
  readonly person: PersonId;
  readonly choice: string;
  readonly whole: number;
  /** In the option's `unit` where it has one. */
  readonly number: number;
  /** One cleaned line. */
  readonly text: string;
  /** In the future. */
  readonly time: UtcMillis;
  /** Minutes after midnight. */
  readonly clock: number;
  /** Evening date of a night. */
  readonly date: string;
  readonly files: readonly GivenFile[];
}
