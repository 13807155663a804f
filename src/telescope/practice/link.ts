/** The practice telescope: plays each action on the clock it is given, as if the machines moved. */
import type { CallOff } from "../../base/clock.js";
import { type Millis, SECOND, type UtcMillis } from "../../base/units.js";
import type { FrameRecord } from "../../journal/events.js";
import type { TelescopeTraits } from "../../journal/telescope-status.js";
import type { OverheadFactors } from "../../observatory/observatory.js";
import { type FrameOrder, frameOrder } from "../frames/frame-order.js";
import type { Action, LinkHost, Progress, TelescopeLink, Work } from "../link.js";
import { overheadSamples } from "../overhead-samples.js";
import { actualTimes } from "./actual-times.js";
import { cloudyAt, spellEnd } from "./cloud.js";

export interface PracticeOptions {
  /** Makes the files and the verdict of one frame. */
  readonly makeFrame: (order: FrameOrder) => Promise<FrameRecord>;
  /** Stops the practice clock while a frame takes longer to simulate than to expose. */
  readonly pauseClock: () => CallOff;
  readonly frames?: TelescopeLink["frames"];
  readonly traits?: TelescopeTraits;
  /** The factors inside the times that the forecast gives; default: those that it has learned. */
  readonly learned?: () => OverheadFactors;
}

export const practiceTraits: TelescopeTraits = {
  simulated: true,
  notice: "Practice telescope: nothing real moves, and every frame is SIMULATED.",
  clockName: "Practice time",
  takenBy: "queue",
  inventedClass: false,
};

export class PracticeLink implements TelescopeLink {
  readonly traits: TelescopeTraits;
  readonly frames: TelescopeLink["frames"];
  private host: LinkHost | null = null;
  private spell: CallOff = () => {};
  private timers: CallOff[] = [];

  constructor(private readonly options: PracticeOptions) {
    this.traits = options.traits ?? practiceTraits;
    this.frames = options.frames;
  }

  async start(host: LinkHost): Promise<void> {
    this.host = host;
    const { camera } = host.config.telescope.practice;
    const { requests, pointing } = host.state();
    // The first evening begins with everything in order; what staff report later stands.
    const first = requests.size === 0 && pointing === null;
    if (first) await host.report({ telescope: "ready", dome: "open", sky: "clear", camera });
    else if (camera !== "fitted") await host.report({ camera });
    await this.watchSky(host);
  }

  begin(action: Action, progress: Progress): Work {
    const host = this.host as LinkHost;
    const { request, times, takenUnixMs, resumed } = action;
    const truth = host.config.telescope.practice;
    const learned = this.options.learned?.() ?? action.overheads;
    const actual = resumed
      ? times
      : actualTimes(times, learned, truth, truth.seed * 1_000_003 + request.number);
    const frameMs = frameMillis(action, host);
    for (let index = action.framesDone + 1; index <= request.frames; index++) {
      const startUnixMs = takenUnixMs + actual.readyMs + (index - 1) * frameMs;
      this.at(startUnixMs, () => {
        progress.exposing(index, startUnixMs);
        const endUnixMs = startUnixMs + frameMs;
        progress.frame(
          this.expose(frameOrder({ request, index, startUnixMs }, host.state(), host.config), endUnixMs),
          endUnixMs,
        );
      });
    }
    const freeUnixMs = takenUnixMs + actual.totalMs;
    const samples = resumed ? [] : overheadSamples(times, learned, actual);
    this.at(freeUnixMs, () => progress.ended(freeUnixMs, samples));
    return { stop: async () => this.callOff() };
  }

  /** Nothing of it moves while the program does not run. */
  async stopLeftOver(): Promise<void> {}

  async close(): Promise<void> {
    this.spell();
    this.callOff();
  }

  /** Says what passing cloud does at the start of each spell; without cloud in the configuration, nothing. */
  private async watchSky(host: LinkHost): Promise<void> {
    const { cloudFraction, seed } = host.config.telescope.practice;
    if (cloudFraction === 0) return;
    const now = host.clock.now();
    this.spell = host.clock.at(spellEnd(now), () => void this.watchSky(host));
    await host.report({ sky: cloudyAt(now, cloudFraction, seed) ? "cloud" : "clear" });
  }

  /** Simulates while the exposure runs; the clock waits for a frame that is late. */
  private async expose(order: FrameOrder, endUnixMs: UtcMillis): Promise<FrameRecord> {
    const ended = new Promise<void>((done) => this.at(endUnixMs, done));
    let late = true;
    const made = this.options.makeFrame(order).finally(() => {
      late = false;
    });
    made.catch(() => {});
    await ended;
    if (!late) return made;
    const goOn = this.options.pauseClock();
    return made.finally(goOn);
  }

  private at(unixMs: UtcMillis, action: () => void): void {
    this.timers.push((this.host as LinkHost).clock.at(unixMs, action));
  }

  private callOff(): void {
    for (const callOff of this.timers.splice(0)) callOff();
  }
}

/** One exposure with its read-out. */
function frameMillis({ request }: Action, { config }: LinkHost): Millis {
  return Math.round((request.exposureSeconds + config.observatory.camera.readOutSeconds) * SECOND);
}
