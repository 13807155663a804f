/** Learns from whole actions, taken to completed, where the telescope does not tell their parts apart. */
import { type Log, silentLog } from "../base/log.js";
import { type Millis, SECOND, type UtcMillis } from "../base/units.js";
import type { Desk } from "../journal/desk.js";
import type { Entry, OverheadSample } from "../journal/events.js";
import type { Learning } from "./learning.js";

/** An action under way. */
interface Begun {
  readonly number: number;
  readonly takenUnixMs: UtcMillis;
  readonly exposuresMs: Millis;
  /** All overheads together, as the configuration has them. */
  readonly configuredMs: Millis;
}

export interface WholeActionsParts {
  readonly desk: Desk;
  readonly learning: Learning;
  readonly log?: Log;
}

export class WholeActions {
  private action: Begun | null = null;
  private readonly silence: () => void;

  constructor(private readonly parts: WholeActionsParts) {
    this.silence = parts.desk.listen((entry) => this.note(entry));
  }

  stop(): void {
    this.silence();
  }

  private note({ events, atUnixMs }: Entry): void {
    for (const event of events) {
      if (event.type === "request.taken") this.action = this.begun(event.number, atUnixMs, event.freeUnixMs);
      else if (event.type === "overheads.measured" && event.number === this.action?.number)
        this.action = null;
      else if (event.type === "request.completed" && event.number === this.action?.number)
        this.ended(this.action, atUnixMs);
    }
  }

  /** The promise holds learned multiples; parts that were never measured alone all share one, taken out again. */
  private begun(number: number, takenUnixMs: UtcMillis, freeUnixMs: UtcMillis): Begun | null {
    const { desk, learning } = this.parts;
    const request = desk.state.requests.get(number);
    if (!request) return null;
    const exposuresMs = request.frames * Math.round(request.exposureSeconds * SECOND);
    const plannedMs = freeUnixMs - takenUnixMs - exposuresMs;
    return {
      number,
      takenUnixMs,
      exposuresMs,
      configuredMs: plannedMs / learning.overheads(desk.state).readOut,
    };
  }

  private ended({ number, takenUnixMs, exposuresMs, configuredMs }: Begun, atUnixMs: UtcMillis): void {
    this.action = null;
    const measuredMs = atUnixMs - takenUnixMs - exposuresMs;
    if (configuredMs <= 0 || measuredMs <= 0) return;
    void this.journal(number, { component: "total", configuredMs: Math.round(configuredMs), measuredMs });
  }

  private async journal(number: number, sample: OverheadSample): Promise<void> {
    const { desk, log } = this.parts;
    try {
      await desk.act(() => [{ type: "overheads.measured", number, samples: [sample] }], { by: "forecast" });
    } catch (error) {
      (log ?? silentLog).warn({ reason: (error as Error).message }, "an action's time was not kept");
    }
  }
}
