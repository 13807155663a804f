/** What this surface must remember across a restart, kept in the journal. */
import type { Desk } from "../../journal/desk.js";
import { DISCORD } from "./hear/place.js";

export class Memory {
  constructor(private readonly desk: Desk) {}

  recall(key: string): string | null {
    return this.desk.state.remembered.get(DISCORD)?.get(key) ?? null;
  }

  /**
   * Stores a value durably, or null to forget; nothing is written when it stands already.
   * @throws {Refusal} when the journal cannot be written
   */
  async remember(key: string, value: string | null): Promise<void> {
    await this.desk.act(
      () =>
        this.recall(key) === value ? [] : [{ type: "surface.remembered", surface: DISCORD, key, value }],
      { by: DISCORD },
    );
  }
}
