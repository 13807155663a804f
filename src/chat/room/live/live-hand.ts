/** What to observe by hand, as the screens of staff show it. */
import { SECOND } from "../../../base/units.js";
import { nameFor } from "../../../commands/people/people.js";
import type { Services } from "../../../commands/services.js";
import { operatorCard } from "../../../commands/words/operator-card.js";
import type { WireHand } from "../wire.js";
import { wireAction, wireLine } from "./to-wire.js";

/** Coordinates of date and height change no faster than this matters. */
const REFRESH = 10 * SECOND;

export class LiveHand {
  private known: { readonly from: string; readonly hand: WireHand } | null = null;

  constructor(
    private readonly services: Services,
    private readonly classId: string,
  ) {}

  /** null where nobody works it by hand. */
  now(): WireHand | null {
    const { services, classId } = this;
    const { desk, clock, config } = services;
    if (services.telescope().traits.takenBy !== "operator") return null;
    const now = clock.now();
    const from = `${desk.state.lastEntryId}|${Math.floor(now / REFRESH)}`;
    if (this.known?.from !== from) {
      const { title, lines, actions } = operatorCard({ ...services, now });
      const nameOf = (personId: string): string => nameFor(personId, classId, desk.state, config);
      const hand = {
        title,
        lines: lines.map((line) => wireLine(line, nameOf)),
        actions: actions.map(wireAction),
      };
      this.known = { from, hand };
    }
    return this.known.hand;
  }
}
