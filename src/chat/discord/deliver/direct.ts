/** Who takes no direct messages: remembered once refused, until the person asks for them again. */
import type { Desk } from "../../../journal/desk.js";
import { userIdOf } from "../hear/place.js";
import type { Memory } from "../memory.js";
import { nonceFor } from "./nonce.js";

/** Not the account itself. */
const keyOf = (userId: string): string => `direct-refused:${nonceFor(userId)}`;

export class DirectRefusals {
  constructor(private readonly memory: Memory) {}

  /** Whether direct messages need not be tried. */
  isRefused(userId: string): boolean {
    return this.memory.recall(keyOf(userId)) !== null;
  }

  /** Whether it was this parcel that met the refusal. */
  wasMetBy(userId: string, parcelKey: string): boolean {
    return this.memory.recall(keyOf(userId)) === nonceFor(parcelKey);
  }

  remember(userId: string, parcelKey: string): Promise<void> {
    return this.memory.remember(keyOf(userId), nonceFor(parcelKey));
  }

  /** Someone who chooses direct messages anew is tried again; who is forgotten is forgotten here too. */
  watch(desk: Desk, onError: (error: unknown) => void): () => void {
    return desk.listen(({ events }) => {
      for (const event of events) {
        const ends =
          event.type === "person.forgotten" ||
          (event.type === "person.alerts" && event.choice.how === "direct");
        const userId = ends ? userIdOf(event.personId) : null;
        if (userId !== null && this.isRefused(userId))
          this.memory.remember(keyOf(userId), null).catch(onError);
      }
    });
  }
}
