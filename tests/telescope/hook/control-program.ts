/** A control program of an observatory, as small as can be: asks what is next, does it, and tells. */
import type { Clock } from "../../../src/base/clock.js";
import { SECOND } from "../../../src/base/units.js";
import type { Conversation } from "../../../src/telescope/hook/listener.js";
import type { EventAnswer, HookEvent, NextAnswer } from "../../../src/telescope/hook/messages.js";

type Observe = Extract<NextAnswer, { do: "observe" }>;
type Telling = HookEvent extends infer Each
  ? Each extends HookEvent
    ? Omit<Each, "id" | "at">
    : never
  : never;

export class ControlProgram {
  private ended = false;
  private count = 0;
  private static runs = 0;
  private readonly name = `run-${++ControlProgram.runs}`;

  constructor(
    private readonly conversation: Conversation,
    private readonly clock: Clock,
    /** From taken to the first exposure. */
    private readonly movingMs = 40 * SECOND,
  ) {}

  async run(): Promise<void> {
    while (!this.ended) {
      const next = this.conversation.next();
      if (next.do === "stop") await this.tell({ type: "stopped", number: next.number });
      if (next.do === "observe") await this.observe(next);
      await this.wait(SECOND);
    }
  }

  end(): void {
    this.ended = true;
  }

  private async observe({ request, underWay, framesDone }: Observe): Promise<void> {
    const { number, frames, exposureSeconds } = request;
    const { outcome } = underWay ? { outcome: "already" } : await this.tell({ type: "taken", number });
    if (outcome === "refused") return;
    if (await this.stopsWithin(this.movingMs)) return;
    for (let frame = 1; frame <= frames; frame++) {
      if (framesDone.includes(frame)) continue;
      await this.tell({ type: "exposing", number, frame });
      if (await this.stopsWithin((exposureSeconds + 4) * SECOND)) return;
      await this.tell({ type: "frame", number, frame }, new Uint8Array(8));
    }
    if (await this.stopsWithin(8 * SECOND)) return;
    await this.tell({ type: "done", number, frames });
  }

  /** Whether it has been told to stop, or is no longer under way, before the time is over. */
  private async stopsWithin(ms: number): Promise<boolean> {
    const untilUnixMs = this.clock.now() + ms;
    while (!this.ended && this.clock.now() < untilUnixMs) {
      await this.wait(Math.min(SECOND, untilUnixMs - this.clock.now()));
      const next = this.conversation.next();
      if (next.do !== "observe" || !next.underWay) return true;
    }
    return this.ended;
  }

  /** Says it until it is heard, under the same id. */
  private async tell(what: Telling, frame: Uint8Array | null = null): Promise<EventAnswer> {
    const at = new Date(this.clock.now()).toISOString();
    const event = { ...what, id: `${this.name}-${++this.count}`, at } as HookEvent;
    for (;;) {
      try {
        return (await this.conversation.hear(event, frame)).answer;
      } catch (error) {
        if ((error as { code?: string }).code !== "not-stored" || this.ended) throw error;
        await this.wait(2 * SECOND);
      }
    }
  }

  private wait(ms: number): Promise<void> {
    return new Promise((done) => this.clock.at(this.clock.now() + ms, done));
  }
}
