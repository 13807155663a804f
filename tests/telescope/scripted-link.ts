/** A telescope with habits of its own: slower than configured, takes its time to stop, exposes again after a restart. */
import { SECOND } from "../../src/base/units.js";
import type { StoppingState } from "../../src/journal/state.js";
import type { TelescopeTraits } from "../../src/journal/telescope-status.js";
import type { Action, LinkHost, Progress, TelescopeLink, Work } from "../../src/telescope/link.js";
import type { MakeFrame } from "./evening.js";

export class ScriptedLink implements TelescopeLink {
  readonly traits: TelescopeTraits = {
    ...{ simulated: false, notice: null, clockName: null, takenBy: "queue", inventedClass: false },
  };
  readonly begun: Action[] = [];
  readonly stops: (string | null)[] = [];
  host!: LinkHost;
  progress!: Progress;
  /** Its machines need so much longer than configured. */
  lateMs = 40 * SECOND;
  /** From the order to stop until it stands. */
  stopMs = 20 * SECOND;
  /** Set: it does not stop. */
  jam: string | null = null;
  private timers: (() => void)[] = [];

  constructor(private readonly makeFrame: MakeFrame) {}

  async start(host: LinkHost): Promise<void> {
    this.host = host;
    await host.report({ telescope: "ready", dome: "open" });
  }

  begin(action: Action, progress: Progress): Work {
    this.begun.push(action);
    this.progress = progress;
    const { request, framesDone, resumed, exposingUnixMs } = action;
    const firstUnixMs = resumed ? this.host.clock.now() : exposingUnixMs + this.lateMs;
    const frameMs = (request.exposureSeconds + 4) * SECOND;
    for (let index = framesDone + 1; index <= request.frames; index++) {
      const startUnixMs = firstUnixMs + (index - framesDone - 1) * frameMs;
      this.at(startUnixMs, () => progress.exposing(index, startUnixMs));
      this.at(startUnixMs + frameMs, () => {
        const { equipment } = this.host.state();
        progress.frame(this.makeFrame({ request, index, startUnixMs, equipment }), startUnixMs + frameMs);
      });
    }
    const freeUnixMs = firstUnixMs + (request.frames - framesDone) * frameMs + 8 * SECOND;
    this.at(freeUnixMs, () => progress.ended(freeUnixMs));
    return { stop: (reason) => this.halt(reason) };
  }

  stopLeftOver({ reason }: StoppingState): Promise<void> {
    return this.halt(reason);
  }

  async close(): Promise<void> {
    for (const callOff of this.timers.splice(0)) callOff();
  }

  private async halt(reason: string | null): Promise<void> {
    this.stops.push(reason);
    await this.close();
    if (this.jam !== null) throw new Error(this.jam);
    const standsUnixMs = this.host.clock.now() + this.stopMs;
    await new Promise<void>((done) => this.host.clock.at(standsUnixMs, done));
  }

  private at(unixMs: number, action: () => void): void {
    this.timers.push(this.host.clock.at(unixMs, action));
  }
}
