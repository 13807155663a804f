/** The order of an action: what is done with the machines for one request, step by step. */
import { type Degrees, type Millis, SECOND } from "../../base/units.js";
import type { FrameRecord } from "../../journal/events.js";
import { aimAtPlace } from "../../observatory/aim.js";
import { isBright } from "../../observatory/celestial-limits.js";
import { hourPlaceOf, whyNotThere } from "../../observatory/may-point.js";
import type { Observatory } from "../../observatory/observatory.js";
import { type EquatorialPlace, equatorial } from "../../sky/place-at.js";
import { type FrameOrder, frameOrder } from "../frames/frame-order.js";
import type { Action, LinkHost, Progress } from "../link.js";
import { overheadSamples } from "../overhead-samples.js";
import { NotNow } from "./fault.js";
import type { Hands } from "./hands.js";
import type { Shot, Taken } from "./machines/camera.js";
import type { Machines } from "./machines/machines.js";

/** How often the dome is looked after during an exposure. */
const FOLLOW_EVERY: Millis = 15 * SECOND;

export interface ObserveParts {
  readonly host: LinkHost;
  readonly machines: Machines;
  /** Judges and keeps one frame. */
  readonly keep: (order: FrameOrder, bytes: Buffer) => Promise<FrameRecord>;
}

/** How long each step took. */
type Measured = Record<"slewMs" | "domeMs" | "filterMs" | "shutterMs" | "settleMs", Millis>;

/** One request's work; begun anew by `run` after every interruption, with the frames that are there. */
export class Observation {
  framesDone: number;
  private measured: Measured | null = null;

  constructor(
    private readonly parts: ObserveParts,
    private readonly action: Action,
    private readonly progress: Progress,
  ) {
    this.framesDone = action.framesDone;
  }

  /**
   * Works until the request is completed.
   * @throws {Fault} | {NotNow} | {CalledOff}
   */
  async run(hands: Hands): Promise<void> {
    const { machines, host } = this.parts;
    const { request } = this.action;
    await this.takeLeftOver(hands);
    if (this.framesDone < request.frames) {
      await machines.camera.setUp(hands);
      const place = await this.point(hands);
      while (this.framesDone < request.frames) await this.takeFrame(hands, place);
    }
    this.progress.ended(host.clock.now(), this.samples());
  }

  /** Nothing is exposed a second time while the first frame may still come. */
  private async takeLeftOver(hands: Hands): Promise<void> {
    const taken = await this.parts.machines.camera.leftOver(hands, this.shot());
    if (!taken) return;
    this.progress.exposing(this.framesDone + 1, taken.startUnixMs);
    this.handOver(taken, null);
  }

  /** Mount, slit and filter on the target; the shutter is open before anything turns. */
  private async point(hands: Hands): Promise<EquatorialPlace> {
    const { host, machines } = this.parts;
    const { observatory } = host.config;
    const { target, filter } = this.action.request;
    const timed = async (step: Promise<void>): Promise<Millis> => {
      const from = host.clock.now();
      await step;
      return host.clock.now() - from;
    };
    const shutterMs = await timed(machines.wake(hands));
    // Before the first exposure ends, which is judged by it.
    await host.report({ dome: "open" });
    const place = equatorial(target, host.clock.now(), observatory.site);
    const [slewMs, domeMs, filterMs] = await Promise.all([
      timed(machines.mount.slew(hands, place, isBright(target, observatory.limits))),
      timed(machines.enclosure.face(hands, this.slitAzimuth(hands, place))),
      timed(machines.wheel?.turnTo(hands, filter) ?? Promise.resolve()),
    ]);
    const settleMs = observatory.mount.settleSeconds * SECOND;
    if (settleMs > 0) await hands.pause(settleMs);
    this.measured = { slewMs, domeMs, filterMs, shutterMs, settleMs };
    return place;
  }

  private async takeFrame(hands: Hands, place: EquatorialPlace): Promise<void> {
    const { host, machines } = this.parts;
    const { properties } = hands.line;
    await machines.enclosure.face(hands, this.slitAzimuth(hands, place));
    machines.mount.checkStays(properties, place);
    const { observatory } = host.config;
    const why = whyNotThere(
      equatorial(this.action.request.target, host.clock.now(), observatory.site),
      host.clock.now(),
      observatory,
      isBright(this.action.request.target, observatory.limits),
    );
    if (why !== null) throw new NotNow(why);
    const startUnixMs = await machines.camera.expose(hands, this.shot());
    this.progress.exposing(this.framesDone + 1, startUnixMs);
    const frame = machines.camera.frame(hands);
    await this.followUntil(hands, place, frame);
    this.handOver(await frame, this.slitOff(hands, place));
  }

  /** The slit follows the tube as long as the exposure runs. */
  private async followUntil(hands: Hands, place: EquatorialPlace, frame: Promise<Taken>): Promise<void> {
    const { enclosure } = this.parts.machines;
    let over = false;
    const end = frame.then(
      () => {
        over = true;
      },
      () => {
        over = true;
      },
    );
    while (!over) {
      await Promise.race([end, hands.pause(FOLLOW_EVERY).catch(() => {})]);
      const azimuth = this.slitAzimuth(hands, place);
      const { properties } = hands.line;
      if (
        !over &&
        !hands.isCalledOff &&
        hands.line.isUp &&
        !enclosure.isMoving(properties) &&
        !enclosure.faces(properties, azimuth)
      )
        enclosure.follow(hands, azimuth);
    }
  }

  /** As the dome says, when the exposure has just ended. */
  private slitOff(hands: Hands, place: EquatorialPlace): Degrees | null {
    const { properties } = hands.line;
    return this.parts.machines.enclosure.slitOffDegrees(properties, this.slitAzimuth(hands, place));
  }

  private handOver({ bytes, startUnixMs }: Taken, slitOffDegrees: Degrees | null): void {
    const { host, keep } = this.parts;
    const { request } = this.action;
    const index = ++this.framesDone;
    const order = frameOrder({ request, index, startUnixMs, slitOffDegrees }, host.state(), host.config);
    this.progress.frame(keep(order, bytes), host.clock.now());
  }

  /** 0 where there is no dome. */
  private slitAzimuth({ line }: Hands, place: EquatorialPlace): number {
    const { host, machines } = this.parts;
    const { observatory } = host.config;
    const hour = hourPlaceOf(place, host.clock.now(), observatory);
    return aimAtPlace(hour, observatory, sideOf(machines, observatory, line.properties)).domeAzimuthDegrees;
  }

  private shot(): Shot {
    const { target, exposureSeconds, classId } = this.action.request;
    const observer = this.parts.host.config.classes.find(({ id }) => id === classId)?.name ?? classId;
    return { seconds: exposureSeconds, object: target.name, observer };
  }

  private samples() {
    const { times, overheads, resumed } = this.action;
    if (resumed || !this.measured) return [];
    // The hand-over is the journal's and the disk's, not the machines'.
    return overheadSamples({ ...times, handOverMs: 0 }, overheads, { ...times, ...this.measured });
  }
}

/** A German mount says itself on which side its tube is. */
function sideOf(
  { mount }: Machines,
  observatory: Observatory,
  properties: Parameters<Machines["mount"]["looksEast"]>[0],
): boolean | undefined {
  return observatory.mount.kind === "german-equatorial" ? mount.looksEast(properties) : undefined;
}
