/** For the bench: how long from one hand-over to the next exposure, beyond the time in which the simulators move. */
import { SimulatedNight } from "./simulated-night.js";
import { Simulators, whyNoSimulators } from "./simulators.js";

const REQUESTS = [1, 2, 3, 4, 5, 6];
/** What says "busy" while something turns or opens. */
const MOTION = /^(EQUATORIAL_EOD_COORD|ABS_DOME_POSITION|DOME_SHUTTER|FILTER_SLOT|TELESCOPE_PARK|DOME_PARK)$/;

/** Follows what the server says: when something moves, and when exposures begin. */
class Watch {
  readonly exposuresUnixMs: number[] = [];
  private readonly busy = new Set<string>();
  private readonly motions: { from: number; to: number }[] = [];

  read(text: string): void {
    const now = Date.now();
    for (const [tag] of text.matchAll(/<set(?:Number|Switch)Vector [^>]*>/g)) {
      const [device = "", name = "", state = ""] = ["device", "name", "state"].map(
        (attribute) => new RegExp(` ${attribute}="([^"]*)"`).exec(tag)?.[1] ?? "",
      );
      if (name === "CCD_EXPOSURE" && state === "Busy" && !this.busy.has(name)) this.exposuresUnixMs.push(now);
      if (name === "CCD_EXPOSURE") this.mark(name, state);
      if (!MOTION.test(name) || device === "CCD Simulator") continue;
      const before = this.isMoving();
      this.mark(`${device} ${name}`, state);
      if (!before && this.isMoving()) this.motions.push({ from: now, to: Number.POSITIVE_INFINITY });
      if (before && !this.isMoving()) (this.motions.at(-1) as { to: number }).to = now;
    }
  }

  /** How long nothing moved between two instants. */
  stillMs(from: number, to: number): number {
    const moved = this.motions.map((each) => Math.max(0, Math.min(to, each.to) - Math.max(from, each.from)));
    return to - from - moved.reduce((sum, each) => sum + each, 0);
  }

  private mark(what: string, state: string): void {
    if (state === "Busy") this.busy.add(what);
    else this.busy.delete(what);
  }

  private isMoving(): boolean {
    return [...this.busy].some((each) => each !== "CCD_EXPOSURE");
  }
}

async function measure(): Promise<number[]> {
  const simulators = await Simulators.start();
  const watch = new Watch();
  simulators.alter = (text) => {
    watch.read(text);
    return text;
  };
  const night = new SimulatedNight(simulators);
  try {
    const handedOver: number[] = [];
    night.desk.listen(({ events }) => {
      if (events.some(({ type }) => type === "request.completed")) handedOver.push(Date.now());
    });
    await night.driver.start();
    await night.ask(REQUESTS, 0.5);
    await night.resume();
    await night.completed(REQUESTS.at(-1) as number);
    return handedOver
      .slice(0, -1)
      .map((from, index) => watch.stillMs(from, watch.exposuresUnixMs[index + 1] as number));
  } finally {
    await night.end();
    await simulators.stop();
  }
}

const missing = whyNoSimulators();
process.stdout.write(JSON.stringify(missing === null ? { beyondMs: await measure() } : { missing }));
