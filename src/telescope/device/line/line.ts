/** The connection to a server: what its devices are like, orders to them, and waiting for what comes of those. */
import type { CallOff, Clock } from "../../../base/clock.js";
import { type Millis, SECOND, type UtcMillis } from "../../../base/units.js";
import { Fault } from "../fault.js";
import { MessageReader } from "./message-reader.js";
import { askAll, askDevice, type Blob, order, type Values, wantBlobs } from "./messages.js";
import { Properties } from "./properties.js";
import type { OpensWire, Wire } from "./wire.js";

/** A quiet line is asked something after this, and is dead when nothing has come after as long again. */
const QUIET: Millis = 20 * SECOND;

export interface LineParts {
  readonly clock: Clock;
  readonly open: OpensWire;
  readonly onBlob: (blob: Blob) => void;
  /** It was up, and is not any more. */
  readonly onLost: (why: string) => void;
}

interface Waiting {
  readonly look: () => void;
  readonly fail: (error: Error) => void;
}

export class Line {
  readonly properties = new Properties();
  private wire: Wire | null = null;
  private heardUnixMs: UtcMillis = 0;
  private asked = false;
  private readonly waiting = new Set<Waiting>();

  constructor(private readonly parts: LineParts) {}

  get isUp(): boolean {
    return this.wire !== null;
  }

  /**
   * Opens the line and asks for everything; nothing is known yet when it resolves.
   * @throws when nobody answers
   */
  async connect(): Promise<void> {
    const reader = new MessageReader((message) => {
      this.properties.take(message, this.parts.clock.now());
      if (message.says === "blob") this.parts.onBlob(message.blob);
    });
    let wire: Wire | null = null;
    let cut = false;
    const end = {
      heard: (text: string): void => {
        if (wire === this.wire) this.hear(reader, text);
      },
      cut: (): void => {
        cut = true;
        if (wire !== null && wire === this.wire) this.lose("the connection to the devices' server broke");
      },
    };
    wire = await this.parts.open(end);
    if (cut) throw new Error("the connection broke at once");
    this.properties.clear();
    this.heardUnixMs = this.parts.clock.now();
    this.asked = false;
    this.wire = wire;
    wire.send(askAll());
  }

  /** Gives an order; whether it is carried out is seen in the properties. */
  order(device: string, name: string, values: Values): void {
    this.send(order(device, name, values));
  }

  wantBlobs(device: string): void {
    this.send(wantBlobs(device));
  }

  /** Has a device say anew what it is like: a device that does not answer is hung. */
  askDevice(device: string): void {
    this.send(askDevice(device));
  }

  /** Looks whether the line is alive; to be called every few seconds. */
  tend(): void {
    if (!this.wire) return;
    const quiet = this.parts.clock.now() - this.heardUnixMs;
    if (quiet > 2 * QUIET && this.asked) this.lose("the devices' server does not answer any more");
    else if (quiet > QUIET && !this.asked) {
      this.asked = true;
      this.wire.send(askAll());
    }
  }

  /**
   * Waits until `look` finds something: asked now, after everything that comes, and once more at `againUnixMs`.
   * @throws {Fault} with `what` in its clause when the time is over, or when the line is lost
   */
  until<Found>(
    look: () => Found | null,
    limitMs: Millis,
    what: string,
    againUnixMs?: UtcMillis,
  ): Promise<Found> {
    const { clock } = this.parts;
    const callOffs: CallOff[] = [];
    return new Promise<Found>((resolve, reject) => {
      const over = (): void => {
        this.waiting.delete(waiting);
        for (const callOff of callOffs) callOff();
      };
      const waiting: Waiting = {
        look: () => {
          try {
            const found = look();
            if (found === null) return;
            over();
            resolve(found);
          } catch (error) {
            waiting.fail(error as Error);
          }
        },
        fail: (error) => {
          over();
          reject(error);
        },
      };
      this.waiting.add(waiting);
      const late = (): void => waiting.fail(new Fault(`${what} within ${Math.round(limitMs / SECOND)} s`));
      callOffs.push(clock.at(clock.now() + limitMs, late));
      if (againUnixMs !== undefined) callOffs.push(clock.at(againUnixMs, waiting.look));
      waiting.look();
    });
  }

  /** Every wait looks again: something other than a message has changed. */
  lookAgain(): void {
    for (const { look } of [...this.waiting]) look();
  }

  /** Lets go without a word; waits end with `error`. */
  close(error: Error): void {
    this.wire?.close();
    this.wire = null;
    this.failAll(error);
  }

  private send(text: string): void {
    if (!this.wire) throw new Fault("the line to the devices' server is down");
    this.wire.send(text);
  }

  private hear(reader: MessageReader, text: string): void {
    this.heardUnixMs = this.parts.clock.now();
    this.asked = false;
    try {
      reader.read(text);
    } catch (error) {
      this.lose(`the devices' server sent what cannot be read (${(error as Error).message})`);
      return;
    }
    this.lookAgain();
  }

  private lose(why: string): void {
    this.close(new Fault(why));
    this.parts.onLost(why);
  }

  private failAll(error: Error): void {
    for (const { fail } of [...this.waiting]) fail(error);
  }
}
