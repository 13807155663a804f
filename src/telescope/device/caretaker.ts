/** Looks after the machines beside the requests: the line, the weather, dawn, and a mount with nothing to do. */
import type { CallOff } from "../../base/clock.js";
import { type Millis, SECOND, type UtcMillis } from "../../base/units.js";
import type { DeviceConfig } from "../../config/device-section.js";
import type { NightslateEvent } from "../../journal/events.js";
import { sunAltitudeDegrees } from "../../sky/place-at.js";
import type { LinkHost } from "../link.js";
import { CalledOff, PeopleThere } from "./fault.js";
import { Hands } from "./hands.js";
import type { Line } from "./line/line.js";
import type { Machines } from "./machines/machines.js";
import { badWeather } from "./machines/weather.js";
import type { Permission } from "./permission.js";

const EVERY: Millis = 10 * SECOND;
/** Putting away that failed is tried again after this. */
const AGAIN: Millis = 60 * SECOND;
/** A mount that has nothing to do stops tracking after this, far from any limit of its axes. */
const TRACKS_IDLE: Millis = 180 * SECOND;

/** The request under way, as far as the caretaker is concerned. */
export interface UnderWay {
  /** It waits for an operator, and moves nothing. */
  readonly isWaiting: boolean;
  /** Goes back to the queue: what is going on cannot go on. */
  giveBack(why: string): void;
}

export interface CaretakerParts {
  readonly host: LinkHost;
  readonly config: DeviceConfig;
  readonly line: Line;
  readonly machines: Machines;
  readonly permission: Permission;
  readonly underWay: () => UnderWay | null;
}

export class Caretaker {
  /** Putting away; null while nothing of the kind goes on. */
  private work: { readonly hands: Hands; readonly done: Promise<void> } | null = null;
  private tick: CallOff = () => {};
  private connecting: Promise<void> | null = null;
  private lostUnixMs: UtcMillis | null = null;
  /** The line was gone for so long that everything is put away. */
  private lostTooLong = false;
  private goodSinceUnixMs: UtcMillis | null = null;
  /** The dome is kept shut because of the weather that this has seen. */
  private keepsShut: boolean;
  private idleSinceUnixMs: UtcMillis;
  private againUnixMs: UtcMillis = 0;
  /** What the operator has been told is not being done. */
  private noted: string | null = null;

  constructor(private readonly parts: CaretakerParts) {
    const { clock, state } = parts.host;
    this.idleSinceUnixMs = clock.now();
    const { equipment, domeByStaff } = state();
    this.keepsShut = equipment.dome === "kept-shut" && !domeByStaff;
  }

  begin(): void {
    const { clock } = this.parts.host;
    this.tick = clock.at(clock.now() + EVERY, () => this.begin());
    void this.tend();
  }

  close(): void {
    this.tick();
    this.work?.hands.callOff(new CalledOff());
  }

  /** The line was up and is not any more. */
  lost(): void {
    this.lostUnixMs ??= this.parts.host.clock.now();
  }

  /**
   * Opens the line where it is down.
   * @throws when nobody answers
   */
  async connect(): Promise<void> {
    const { line, machines, host, config } = this.parts;
    if (line.isUp) return;
    this.connecting ??= line.connect().finally(() => {
      this.connecting = null;
    });
    await this.connecting;
    // At once: a frame that is being exposed comes to those only who have said that they want it.
    line.wantBlobs(machines.camera.name);
    if (this.lostUnixMs === null) return;
    this.lostTooLong ||= host.clock.now() - this.lostUnixMs > config.lineLossSeconds * SECOND;
    this.lostUnixMs = null;
  }

  /** Resolves when nothing is being put away. */
  async rested(): Promise<void> {
    await this.work?.done;
  }

  /** People are at the machines: whatever this does ends at once. */
  letGo(why: Error): void {
    this.work?.hands.callOff(why);
  }

  /** Why no request can be worked on with the roof open, a clause; null: it can. */
  whyKeptShut(): string | null {
    const { host, config, line } = this.parts;
    const bad = badWeather(line.properties, config, host.clock.now());
    if (bad !== null) return bad;
    return host.state().equipment.dome === "kept-shut" ? "the dome is kept shut" : null;
  }

  private async tend(): Promise<void> {
    const { line, permission, underWay } = this.parts;
    line.tend();
    if (!line.isUp) await this.connect().catch(() => {});
    await this.watchWeather();
    const working = underWay();
    if (working) this.idleSinceUnixMs = this.parts.host.clock.now();
    const shut = this.whyKeptShut();
    if (working && shut !== null && line.isUp) working.giveBack(shut);
    else if (line.isUp && this.work === null && (!working || working.isWaiting)) await this.putInOrder();
    if (working || this.isDusky()) await permission.ask();
    permission.changed();
  }

  private async putInOrder(): Promise<void> {
    const { line, machines, permission, host } = this.parts;
    const { properties } = line;
    if (!machines.isKnown(properties)) return;
    const why = this.whyPutAway();
    if (why === null || machines.isPutAway(properties)) this.noted = null;
    if (machines.isPutAway(properties)) this.lostTooLong = false;
    else if (why !== null) {
      const mayNot = permission.whyNotMove();
      if (mayNot !== null) await this.note(`${mayNot}; not done meanwhile: park and shut, because ${why}`);
      else if (host.clock.now() >= this.againUnixMs) this.putAway(why);
    } else this.restIdleMount();
  }

  /** Tells the operator once what is not being done; numbers that go on growing are no news. */
  private async note(sentence: string): Promise<void> {
    const kind = sentence.replace(/\d+/g, "");
    if (kind === this.noted) return;
    this.noted = kind;
    await this.parts.host.hold(sentence);
  }

  private whyPutAway(): string | null {
    if (this.lostTooLong) return "the line was down for too long";
    return this.whyKeptShut() ?? (this.isDusky() ? null : "it is getting light");
  }

  private putAway(why: string): void {
    const { line, machines, permission, host } = this.parts;
    const hands = new Hands(line, host.clock, () => permission.whyNotMove());
    host.log.info({ why }, "parking and shutting");
    const steps = async (): Promise<void> => {
      await machines.putAway(hands);
      this.lostTooLong = false;
    };
    const done = steps()
      .catch(async (error: Error) => {
        hands.callOff(error);
        if (error instanceof CalledOff || error instanceof PeopleThere) return;
        this.againUnixMs = host.clock.now() + AGAIN;
        await permission.demand(`it could not be parked and shut, though ${why}: ${error.message}`);
      })
      .finally(() => {
        this.work = null;
        permission.changed();
      });
    this.work = { hands, done };
  }

  private restIdleMount(): void {
    const { line, machines, permission, host } = this.parts;
    if (permission.whyNotMove() !== null || !machines.mount.isTracking(line.properties)) return;
    if (host.clock.now() - this.idleSinceUnixMs < TRACKS_IDLE) return;
    machines.mount.stopTracking(new Hands(line, host.clock, () => permission.whyNotMove()));
  }

  /** Something was journalled: of the dome, it may not be so. */
  heard(events: readonly NightslateEvent[]): void {
    if (events.some(({ type }) => type === "equipment.changed")) void this.watchWeather();
  }

  /** What the dome is like, as far as this has seen; that it is kept shut or at fault, staff say and take back. */
  private async watchWeather(): Promise<void> {
    const { host, config, line, machines } = this.parts;
    const now = host.clock.now();
    if (!line.isUp || !machines.isKnown(line.properties)) return;
    if (badWeather(line.properties, config, now) === null) this.goodSinceUnixMs ??= now;
    else {
      this.goodSinceUnixMs = null;
      this.keepsShut = true;
    }
    const lastedMs = this.goodSinceUnixMs === null ? -1 : now - this.goodSinceUnixMs;
    if (lastedMs >= config.weatherGoodSeconds * SECOND) this.keepsShut = false;
    const open = machines.enclosure.isOpen(line.properties);
    const dome = this.keepsShut ? "kept-shut" : open ? "open" : "shut";
    const { equipment, domeByStaff } = host.state();
    const isTheirs = domeByStaff && (equipment.dome === "kept-shut" || equipment.dome === "fault");
    if (equipment.dome !== dome && !isTheirs) await host.report({ dome });
  }

  private isDusky(): boolean {
    const { host } = this.parts;
    const { site, limits } = host.config.observatory;
    return sunAltitudeDegrees(host.clock.now(), site) <= limits.brightSunAltitudeDegrees;
  }
}
