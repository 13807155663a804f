/** Everything with a name that can be asked for, and how people write those names. Interface; see load-catalogue.ts. */

import type { Target } from "../target.js";
import type { Fit } from "./beginnings.js";
import type { Several } from "./several.js";

export type LookUp =
  | { readonly found: Target }
  /** Nothing by that name: the nearest names, best first (at most five, perhaps none). */
  | { readonly found: null; readonly suggestions: readonly Target[] }
  /** A name of several targets: a constellation, a group, a kind. */
  | { readonly found: null; readonly several: Several }
  /** Refused by name or by form: the sentence says why ("sun", "bad-coordinates", "no-target"). */
  | {
      readonly found: null;
      readonly refused: "sun" | "bad-coordinates" | "empty" | "no-target";
      readonly sentence: string;
      /** The name of what shows it instead. */
      readonly instead?: string | null;
    };

export interface Catalogue {
  /** All listed targets, in a fixed order. */
  readonly targets: readonly Target[];
  /** By exact id, also for a `J…` position id; null when unknown. */
  byId(id: string): Target | null;
  /** Messier, NGC, IC, Caldwell with or without spaces, star names, planets, common names, coordinates. */
  lookUp(text: string): LookUp;
  /** Targets whose names start with, nearly start with, or contain what was typed, best first, for autocomplete. */
  startingWith(text: string, limit: number): readonly Fit[];
}
