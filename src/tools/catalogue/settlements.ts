/** How each disagreement between the two sources was settled: read by the script that makes the catalogue and by a test. */
import type { Field } from "./disagreements.js";
import { rowsOf } from "./objects.js";
import { furtherSettlements } from "./settlements-further.js";
import { messierCaldwellSettlements } from "./settlements-messier-caldwell.js";

export interface Settlement {
  /** The object's key: "M87", "C38", "NGC2146". */
  readonly key: string;
  readonly field: Field;
  /** Degrees "187.7059 12.3911"; a magnitude; a type; arc minutes, one axis or both; empty where none shall be listed. */
  readonly value: string;
  /** Why this value. */
  readonly reason: string;
}

/** Every settlement, of which the tables have the rows: key | field | value | reason. */
export const settlements: readonly Settlement[] = [messierCaldwellSettlements, furtherSettlements]
  .flatMap(rowsOf)
  .map((cells) => {
    const [key, field, value, reason] = cells as [string, Field, string, string];
    return { key, field, value, reason };
  });
