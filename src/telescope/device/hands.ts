/**
 * Leave to move machines for one piece of work. Every order that moves anything passes here, so that nothing moves
 * while it may not, and a piece of work that is called off gives no order more.
 */
import type { Clock } from "../../base/clock.js";
import { type Millis, SECOND, type UtcMillis } from "../../base/units.js";
import { Fault } from "./fault.js";
import type { Line } from "./line/line.js";
import type { Values } from "./line/messages.js";
import type { Known } from "./line/properties.js";

/** An order, and how it is seen to have been carried out. */
export interface Task {
  readonly device: string;
  readonly property: string;
  readonly values: Values;
  /** A clause that is false until it is done: "the mount did not arrive". */
  readonly orElse: string;
  readonly limitMs: Millis;
  /** Whether the values are those that were asked for. */
  readonly isDone: (property: Known) => boolean;
  /** Switches may come to rest without saying "Ok"; a number has to. */
  readonly restIsEnough?: boolean;
}

/**
 * A message from before the order may still be on its way. One that says "arrived" at the wrong value counts only
 * when the device has been busy since the order, or after this.
 */
const GRACE: Millis = 5 * SECOND;

export class Hands {
  private calledOff: Error | null = null;
  private readonly onEnd = new Set<(error: Error) => void>();

  /** @param mayMove why nothing may move now, a clause; null: it may */
  constructor(
    readonly line: Line,
    readonly clock: Clock,
    private readonly mayMove: () => string | null,
  ) {}

  /** Ends the work: every wait of it ends with `error`, and every order is refused with it. */
  callOff(error: Error): void {
    if (this.calledOff) return;
    this.calledOff = error;
    this.line.lookAgain();
    for (const end of [...this.onEnd]) end(error);
  }

  get isCalledOff(): boolean {
    return this.calledOff !== null;
  }

  /** @throws what it was called off with; {Fault} while nothing may move */
  check(): void {
    if (this.calledOff) throw this.calledOff;
    const why = this.mayMove();
    if (why !== null) throw new Fault(why);
  }

  /** Gives an order that need not be waited for. */
  order(device: string, property: string, values: Values): void {
    this.check();
    this.line.order(device, property, values);
  }

  /** Waits; see `Line.until`. Ends when the work is called off. */
  until<Found>(
    look: () => Found | null,
    limitMs: Millis,
    what: string,
    againUnixMs?: UtcMillis,
  ): Promise<Found> {
    return this.line.until(
      () => {
        if (this.calledOff) throw this.calledOff;
        return look();
      },
      limitMs,
      what,
      againUnixMs,
    );
  }

  /** Lets time pass. */
  pause(ms: Millis): Promise<void> {
    if (this.calledOff) return Promise.reject(this.calledOff);
    return new Promise((resolve, reject) => {
      const fail = (error: Error): void => {
        callOff();
        reject(error);
      };
      const callOff = this.clock.at(this.clock.now() + ms, () => {
        this.onEnd.delete(fail);
        resolve();
      });
      this.onEnd.add(fail);
    });
  }

  /**
   * Has something done: "Ok" alone is not believed, nor is the value alone.
   * @throws {Fault} when the device refuses, ends elsewhere, or is not done in time
   */
  async reach(task: Task): Promise<void> {
    this.check();
    const { properties } = this.line;
    const givenOrder = properties.order;
    const graceUnixMs = this.clock.now() + GRACE;
    this.line.order(task.device, task.property, task.values);
    const look = (): true | null =>
      outcome(task, properties.get(task.device, task.property), givenOrder, this.clock.now() >= graceUnixMs);
    await this.until(look, task.limitMs, task.orElse, graceUnixMs);
  }
}

/** @throws {Fault} when it has gone wrong; null: not yet */
function outcome(task: Task, known: Known | undefined, givenOrder: number, graceOver: boolean): true | null {
  if (!known) throw new Fault(`${task.orElse}: ${task.device} is gone, or has been started anew`);
  if (known.order <= givenOrder || known.state === "Busy") return null;
  const wasBusy = known.busyOrder > givenOrder;
  if (known.state === "Alert" && (wasBusy || graceOver))
    throw new Fault(`${task.orElse}: ${task.device} refused, or gave up`);
  const atRest = known.state === "Ok" || (known.state === "Idle" && task.restIsEnough === true);
  if (atRest && task.isDone(known)) return true;
  if (atRest && (wasBusy || graceOver))
    throw new Fault(`${task.orElse}, though ${task.device} says that it is done`);
  return null;
}
