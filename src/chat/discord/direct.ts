/** Who takes no direct messages: remembered once refused, until the person asks for them again. */
import type { Desk } from "../../journal/desk.js";
import type { Memory } from "./memory.js";
import { nonceFor } from "./nonce.js";
import { userIdOf } from "./place.js";

/** Not the account itself: what is remembered here need not be forgotten with the person. */
const keyOf = (userId: string): string => `direct-refused:${nonceFor(userId)}`;

export class DirectRefusals {
  constructor(private readonly memory: Memory) {}

  /** The key of the parcel that met the refusal; null when direct messages may be tried. */
  refusedBy(userId: string): string | null {
    return this.memory.recall(keyOf(userId));
  }

  remember(userId: string, parcelKey: string): Promise<void> {
    return this.memory.remember(keyOf(userId), parcelKey);
  }

  /** Someone who chooses direct messages anew is tried again. */
  watch(desk: Desk, onError: (error: unknown) => void): () => void {
    return desk.listen(({ events }) => {
      for (const event of events) {
        if (event.type !== "person.alerts" || event.choice.how !== "direct") continue;
        const userId = userIdOf(event.personId);
        if (userId !== null && this.refusedBy(userId) !== null)
          this.memory.remember(keyOf(userId), null).catch(onError);
      }
    });
  }
}
