/**
 * One place's notices, in order, one message at a time. Trouble here delays nobody else.
 *
 * Every instant may be the last: a message is on its way only while its notices head the lane and are
 * recorded neither as delivered nor as dropped. So after a restart only the head can have been sent,
 * alone or in the parcel that was recorded for it.
 */
import { atMost } from "../base/at-most.js";
import type { Clock } from "../base/clock.js";
import type { Log } from "../base/log.js";
import { type Millis, SECOND } from "../base/units.js";
import type { Desk } from "../journal/desk.js";
import type { NightslateEvent } from "../journal/events.js";
import type { Notice } from "../journal/notice.js";
import type { Carrier, Delivery, Parcel } from "./parcel.js";
import { delayMs, LONGEST_TRYING, Waits } from "./retry.js";

export interface LaneParts {
  readonly desk: Desk;
  readonly carrier: Carrier;
  readonly clock: Clock;
  readonly log: Log;
}

/** So much may be merged: a message that a phone shows without scrolling for long. */
const MOST_NOTICES = 10;
const MOST_LINES = 24;
const MOST_PEOPLE = 40;
/** Real milliseconds that a message on its way is waited for at the end. */
const LONGEST_GOODBYE: Millis = 3 * SECOND;

export class Lane {
  private readonly queue: Notice[] = [];
  private readonly waits: Waits;
  private parcel: Parcel | null = null;
  private failures = 0;
  private busy = false;
  private working: Promise<void> = Promise.resolve();
  private stopped = false;

  /** @param restored notices pending since before the start: the first of them may have been sent */
  constructor(
    private readonly parts: LaneParts,
    restored: readonly Notice[] = [],
  ) {
    this.waits = new Waits(parts.clock);
    this.queue.push(...restored);
    const [head] = restored;
    if (head) this.parcel = this.recordedParcel(head) ?? parcelOf([head], head.key, true);
  }

  /** Adds notices at the end; `work` sends them. */
  add(notices: readonly Notice[]): void {
    this.queue.push(...notices);
  }

  /** Sends until nothing is left; harmless while already at work. */
  work(): void {
    if (this.busy) return;
    this.busy = true;
    this.working = this.empty();
  }

  /**
   * Breaks off waits; resolves when the message on its way has been answered and recorded, or when that
   * takes too long: the next start looks whether it stands.
   */
  async stop(): Promise<void> {
    this.stopped = true;
    this.waits.breakOff();
    const { clock } = this.parts;
    await atMost(clock, LONGEST_GOODBYE * clock.speed, this.working);
  }

  private async empty(): Promise<void> {
    while (!this.stopped) {
      this.forget(this.queue.filter((notice) => !this.parts.desk.state.outbox.has(notice.key)));
      const [head] = this.queue;
      if (!head) break;
      this.parcel ??= await this.nextParcel(head);
      if (this.parcel) await this.send(this.parcel);
    }
    // In the same turn as the last look at the queue: what is added from now on starts the work anew.
    this.busy = false;
  }

  /** One trial; afterwards the parcel is recorded and forgotten, or has waited to be tried again. */
  private async send(parcel: Parcel): Promise<void> {
    const delivery = await this.attempt(parcel);
    const outcome = outcomeOf(delivery, parcel, this.parts.clock.now());
    if (outcome) {
      this.failures = 0;
      if (await this.record(...outcome)) this.forget(parcel.notices);
      return;
    }
    const askedMs = delivery.result === "retry" ? delivery.afterMs : 0;
    this.parcel = { ...parcel, maybeSent: true };
    this.failures += 1;
    await this.waits.real(Math.max(askedMs, delayMs("surface", this.failures)));
  }

  private async attempt(parcel: Parcel): Promise<Delivery> {
    const { carrier, log } = this.parts;
    try {
      const delivery = await carrier.deliver(parcel);
      if (delivery.result !== "delivered") {
        log.warn({ surface: carrier.name, ...plainKey(parcel), ...delivery }, "a notice was not delivered");
      }
      return delivery;
    } catch (error) {
      const reason = (error as Error).message;
      log.error({ surface: carrier.name, ...plainKey(parcel), reason }, "a surface failed to deliver");
      return { result: "retry", afterMs: 0, reason };
    }
  }

  /** What follows the head without a recorded parcel, as far as one message goes; merged parcels are recorded first. */
  private async nextParcel(head: Notice): Promise<Parcel | null> {
    const recorded = this.recordedParcel(head);
    if (recorded) return recorded;
    const notices = this.parts.carrier.merges ? mergeable(this.queue) : [head];
    if (notices.length === 1) return parcelOf(notices, head.key, false);
    const parcelKey = `${head.key}+${notices.length - 1}`;
    const noticeKeys = notices.map((notice) => notice.key);
    const stored = await this.record({ type: "parcel.made", parcelKey, noticeKeys });
    return stored ? parcelOf(notices, parcelKey, false) : null;
  }

  private recordedParcel(head: Notice): Parcel | null {
    for (const [parcelKey, keys] of this.parts.desk.state.parcels) {
      if (!keys.includes(head.key)) continue;
      const notices = this.queue.filter((notice) => keys.includes(notice.key));
      return parcelOf(notices, parcelKey, true);
    }
    return null;
  }

  /** Stores until stored; false when stopped before. */
  private async record(...events: NightslateEvent[]): Promise<boolean> {
    const { desk, log } = this.parts;
    for (let failures = 1; ; failures++) {
      try {
        await desk.act(() => events, { by: "outbox" });
        return true;
      } catch (error) {
        log.error({ reason: (error as Error).message }, "the journal refused a record of the outbox");
      }
      if (this.stopped) return false;
      await this.waits.real(delayMs("journal", failures));
    }
  }

  private forget(notices: readonly Notice[]): void {
    if (notices.length === 0) return;
    const gone = new Set(notices);
    this.queue.splice(0, this.queue.length, ...this.queue.filter((notice) => !gone.has(notice)));
    const left = this.parcel?.notices.filter((notice) => !gone.has(notice)) ?? [];
    this.parcel = this.parcel && left.length > 0 ? { ...this.parcel, notices: left } : null;
  }
}

/** What is to be recorded after a trial; null when it is to be tried again. */
function outcomeOf(delivery: Delivery, parcel: Parcel, nowUnixMs: number): NightslateEvent[] | null {
  const keys = parcel.notices.map((notice) => notice.key);
  if (delivery.result === "delivered") {
    const { messageId, refused } = delivery;
    const taken = keys.filter((key) => !refused?.keys.includes(key));
    return [
      ...(taken.length > 0 ? [{ type: "notices.delivered", keys: taken, messageId } as const] : []),
      ...(refused && refused.keys.length > 0 ? [{ type: "notices.dropped", ...refused } as const] : []),
    ];
  }
  if (delivery.result === "drop") return [{ type: "notices.dropped", keys, reason: delivery.reason }];
  const tooOld = parcel.notices.every((notice) => nowUnixMs - notice.atUnixMs > LONGEST_TRYING);
  return tooOld ? [{ type: "notices.dropped", keys, reason: `gave up: ${delivery.reason}` }] : null;
}

/** What the log may hold of a parcel: the entry and the kind it begins with; the rest of a key can name a person. */
function plainKey({ notices }: Parcel): { entry: number; kind: string; notices: number } {
  const [first] = notices;
  return { entry: Number.parseInt(first?.key ?? "", 10), kind: first?.kind ?? "", notices: notices.length };
}

function parcelOf(notices: readonly Notice[], key: string, maybeSent: boolean): Parcel {
  return { key, to: (notices[0] as Notice).to, notices, maybeSent };
}

/** Of the same loudness, and for the same class: a channel may have been another's before. */
function isLike(notice: Notice, head: Notice | undefined): boolean {
  return notice.quiet === head?.quiet && notice.classId === head.classId;
}

/** The head and its followers while they fit into one message. */
function mergeable(queue: readonly Notice[]): Notice[] {
  const [head] = queue;
  const merged: Notice[] = [];
  let lines = 0;
  let people = 0;
  for (const notice of queue.slice(0, MOST_NOTICES)) {
    lines += notice.lines.length + 1;
    people += notice.people.length;
    const fits = lines <= MOST_LINES && people <= MOST_PEOPLE && isLike(notice, head);
    if (merged.length > 0 && !fits) break;
    merged.push(notice);
  }
  return merged;
}
