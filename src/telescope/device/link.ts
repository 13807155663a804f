/**
 * A telescope whose machines this program drives itself. People come first: before the first motion of a night, after
 * every start of the program and after people were at the machines, an operator confirms that nobody is there.
 * Whatever goes wrong ends in a hold with a sentence, and goes on when an operator has lifted it.
 */
import { type Millis, SECOND } from "../../base/units.js";
import type { DeviceConfig } from "../../config/device-section.js";
import type { NightslateEvent } from "../../journal/events.js";
import type { StoppingState } from "../../journal/state.js";
import type { Stance, TelescopeTraits } from "../../journal/telescope-status.js";
import {
  type Action,
  type LinkHost,
  NO_STANCE,
  type Progress,
  type TelescopeLink,
  type Work,
} from "../link.js";
import { Caretaker, type UnderWay } from "./caretaker.js";
import { CalledOff, Fault, GivenBack, NotNow, PeopleThere } from "./fault.js";
import { Hands } from "./hands.js";
import { Line } from "./line/line.js";
import type { OpensWire } from "./line/wire.js";
import { Machines } from "./machines/machines.js";
import { Observation, type ObserveParts } from "./observe.js";
import { Permission } from "./permission.js";

export interface DeviceParts extends Pick<ObserveParts, "keep"> {
  readonly config: DeviceConfig;
  readonly open: OpensWire;
  readonly frames?: TelescopeLink["frames"];
}

export const deviceTraits: TelescopeTraits = {
  ...{ simulated: false, notice: null, clockName: null, inventedClass: false },
  takenBy: "queue",
  movesMachines: true,
};

/** Said when the line is down. */
const NOTHING_REACHED =
  "nothing can be commanded until the line is back, so only the site's own watchdog protects the telescope";

const GIVE_BACK_AFTER: Millis = 5 * SECOND;

/** One request's work, through all its interruptions. */
class Run implements UnderWay {
  isWaiting = true;
  isOver = false;
  givenBack: string | null = null;
  hands: Hands | null = null;

  constructor(private readonly onChange: () => void) {}

  giveBack(why: string): void {
    this.givenBack ??= why;
    this.hands?.callOff(new GivenBack(why));
    this.onChange();
  }

  end(): void {
    this.isOver = true;
    this.hands?.callOff(new CalledOff());
    this.onChange();
  }
}

export class DeviceLink implements TelescopeLink {
  readonly traits = deviceTraits;
  readonly frames: TelescopeLink["frames"];
  private host!: LinkHost;
  private line!: Line;
  private permission!: Permission;
  private caretaker!: Caretaker;
  private machines!: Machines;
  private underWay: Run | null = null;
  private peopleThere = false;
  private started = false;

  constructor(private readonly parts: DeviceParts) {
    this.frames = parts.frames;
  }

  async start(host: LinkHost): Promise<void> {
    const { config, open } = this.parts;
    this.host = host;
    this.machines = new Machines(config, host.config.observatory);
    this.permission = new Permission(host);
    this.line = new Line({
      clock: host.clock,
      open,
      onBlob: (blob) => this.machines.camera.onBlob(blob, this.line.properties.order),
      onLost: (why) => this.lost(why),
    });
    this.started = true;
    const { line, machines, permission } = this;
    this.caretaker = new Caretaker({
      host,
      config,
      line,
      machines,
      permission,
      underWay: () => this.underWay,
    });
    await this.permission.ask();
    await this.caretaker.connect().catch(() => {});
    this.caretaker.begin();
  }

  begin(action: Action, progress: Progress): Work {
    const run = new Run(() => this.permission.changed());
    this.underWay = run;
    const observation = new Observation(
      { host: this.host, machines: this.machines, keep: this.parts.keep },
      action,
      progress,
    );
    void this.work(run, observation, action, progress);
    return {
      stop: async () => {
        run.end();
        await this.standStill(action.request.number);
        if (this.underWay === run) this.underWay = null;
      },
    };
  }

  stance(): Stance {
    if (!this.started || !this.line.isUp) return NO_STANCE;
    const { host, line, machines } = this;
    const looks = machines.mount.looksAt(line.properties, host.clock.now());
    return {
      altitudeDegrees: looks?.altitudeDegrees ?? null,
      azimuthDegrees: looks?.azimuthDegrees ?? null,
      domeAzimuthDegrees: machines.enclosure.slitAzimuthDegrees(line.properties),
    };
  }

  heard(events: readonly NightslateEvent[]): void {
    this.permission.heard(events);
    this.caretaker.heard(events);
    const were = this.peopleThere;
    this.peopleThere = this.host.state().hold?.people === true;
    if (!this.peopleThere || were) return;
    const why = new PeopleThere("people are at the machines");
    this.caretaker.letGo(why);
    this.underWay?.hands?.callOff(why);
    void this.standStill(null);
  }

  async stopLeftOver({ number }: StoppingState): Promise<void> {
    await this.caretaker.connect().catch(() => {});
    await this.standStill(number);
  }

  async close(): Promise<void> {
    this.underWay?.end();
    this.caretaker.close();
    this.line.close(new CalledOff());
  }

  /** Tries until the request is done, given back, impossible, or ended from outside. */
  private async work(run: Run, observation: Observation, action: Action, progress: Progress): Promise<void> {
    const { host } = this;
    while (!run.isOver) {
      const outcome = await this.attempt(run, observation);
      if (run.isOver) return;
      if (outcome === null || outcome instanceof NotNow || outcome instanceof GivenBack) {
        if (outcome !== null) await this.standStill(action.request.number);
        this.underWay = null;
        if (outcome instanceof NotNow) progress.failed(outcome.message, host.clock.now());
        if (outcome instanceof GivenBack) progress.returned(outcome.message, host.clock.now());
        return;
      }
      if (!(outcome instanceof PeopleThere)) await this.halt(outcome);
    }
  }

  /** @returns null when it is completed, else why not */
  private async attempt(run: Run, observation: Observation): Promise<Error | null> {
    const { permission, caretaker, line, machines, host } = this;
    run.isWaiting = true;
    const mayGoOn = (): boolean => run.isOver || run.givenBack !== null;
    await permission.granted(mayGoOn);
    await caretaker.rested();
    if (mayGoOn()) return new GivenBack(run.givenBack ?? "");
    run.isWaiting = false;
    const hands = new Hands(line, host.clock, () => permission.whyNotWork());
    run.hands = hands;
    try {
      await caretaker.connect().catch(() => {
        throw new Fault(`nobody answers at ${this.parts.config.host}:${this.parts.config.port}`);
      });
      await machines.bringUp(hands);
      const shut = caretaker.whyKeptShut();
      if (shut !== null) {
        // The queue has been told in the meantime, and does not hand the same one over at once.
        await hands.pause(GIVE_BACK_AFTER);
        throw new GivenBack(shut);
      }
      await observation.run(hands);
      return null;
    } catch (error) {
      hands.callOff(error as Error);
      return error as Error;
    }
  }

  /** Something is wrong: whatever moves stops, an exposure goes on, and an operator is asked to look. */
  private async halt(error: Error): Promise<void> {
    const { line, machines, permission, host } = this;
    if (!(error instanceof Fault)) host.log.error({ error: String(error.stack) }, "unexpected");
    if (line.isUp && machines.isMoving(line.properties)) machines.stopMotion(line);
    const tail = line.isUp ? "" : `; ${NOTHING_REACHED}`;
    await permission.demand(`${error.message}${tail}`);
  }

  /** Everything stops; an operator is asked to look where that is not seen to have happened. */
  private async standStill(number: number | null): Promise<void> {
    const { line, machines, permission } = this;
    try {
      if (!line.isUp) throw new Fault(`the line to the devices' server is down; ${NOTHING_REACHED}`);
      await machines.stop(line);
    } catch (error) {
      if (error instanceof CalledOff) return;
      const what = number === null ? "the telescope" : `the telescope, which was to stop #${number},`;
      await permission.demand(`${what} may still move: ${(error as Error).message}`);
    }
  }

  private lost(why: string): void {
    this.caretaker.lost();
    if (this.underWay && !this.underWay.isWaiting) return;
    void this.permission.demand(`${why}; ${NOTHING_REACHED}`);
  }
}
