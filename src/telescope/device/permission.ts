/** Whether machines may move: people first, then what an operator has still to look at. */
import { HOUR, type Millis, type UtcMillis } from "../../base/units.js";
import type { NightslateEvent } from "../../journal/events.js";
import { nightSkyOf } from "../../observatory/night-sky.js";
import { nightOf } from "../../sky/night.js";
import type { LinkHost } from "../link.js";

const CONFIRM = "before anything moves, an operator has to confirm that nobody is in the dome";
const PEOPLE = "people are at the machines, so nothing moves";
/** What was confirmed longer than this before dusk says nothing of the night. */
const BEFORE_DUSK: Millis = 2 * HOUR;

export class Permission {
  private confirmedUnixMs: UtcMillis | null = null;
  private toLookAt: string | null = null;
  private readonly waiting = new Set<() => void>();

  constructor(private readonly host: LinkHost) {}

  /** Why nothing may move at all, a clause; null: machines may be parked and shut. */
  whyNotMove(): string | null {
    if (this.host.state().hold?.people) return PEOPLE;
    return this.isConfirmed() ? null : CONFIRM;
  }

  /** Why no request may be worked on, a clause; null: it may. */
  whyNotWork(): string | null {
    return this.whyNotMove() ?? this.toLookAt;
  }

  /** Nothing is worked on before an operator has looked at something and lifted the hold that says so. */
  demand(sentence: string): Promise<void> {
    this.toLookAt = sentence;
    return this.host.hold(sentence);
  }

  /** Places a hold that says what is needed, unless one stands already or nothing is. */
  async ask(): Promise<void> {
    const why = this.whyNotWork();
    if (why !== null && this.host.state().hold === null) await this.host.hold(why);
  }

  heard(events: readonly NightslateEvent[]): void {
    for (const event of events) {
      if (event.type === "hold.placed" && event.hold.people) this.confirmedUnixMs = null;
      if (event.type !== "hold.lifted" || !event.nobodyInside) continue;
      this.confirmedUnixMs = this.host.clock.now();
      this.toLookAt = null;
    }
    for (const look of [...this.waiting]) look();
  }

  /** Resolves when a request may be worked on; never, if `isOver` first. */
  granted(isOver: () => boolean): Promise<void> {
    return new Promise((resolve) => {
      const look = (): void => {
        if (this.whyNotWork() !== null && !isOver()) return;
        this.waiting.delete(look);
        resolve();
      };
      this.waiting.add(look);
      look();
    });
  }

  /** Those who wait look again. */
  changed(): void {
    for (const look of [...this.waiting]) look();
  }

  /** Within this night, and not long before its dusk. */
  private isConfirmed(): boolean {
    const { clock, config } = this.host;
    const { observatory } = config;
    const { confirmedUnixMs } = this;
    if (confirmedUnixMs === null) return false;
    const night = nightOf(clock.now(), observatory.site.timeZone);
    if (confirmedUnixMs < night.startUnixMs) return false;
    const dusk = nightSkyOf(night, observatory).dusky[0]?.openUnixMs ?? night.startUnixMs;
    return clock.now() < dusk || confirmedUnixMs >= dusk - BEFORE_DUSK;
  }
}
