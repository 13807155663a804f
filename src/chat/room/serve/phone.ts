/** One connected page: what it is sent, and how it is kept from costing more than its share. */
import type { WebSocket } from "ws";
import type { Clock } from "../../../base/clock.js";
import type { Asker } from "../../../commands/command.js";
import type { NoticeText } from "../live/notice-view.js";
import { type ServerMessage, SIGNED_OUT } from "../wire.js";
import { Bucket } from "./bucket.js";

/** Unsent bytes beyond which pictures of the present are left out: the next one will do. */
const BUSY_BYTES = 64 * 1024;
/** Unsent bytes beyond which a client that does not read is cut off; it comes back and catches up. */
const CUT_BYTES = 512 * 1024;
/** Messages at once, then a second: typing with completion needs about eight. */
const BURST = 40;
const TEXT = { binary: false };
const PER_SECOND = 10;
/** Messages refused in a row before the connection is closed. */
const MOST_REFUSED = 40;

export class Phone {
  private readonly bucket: Bucket;
  private readonly waiting = new Map<string, Buffer>();
  private readonly sent = new Map<string, Buffer>();
  private refused = 0;
  /** Has said hello, and been told who it is. */
  greeted = false;
  /** Has answered the last ping. */
  alive = true;
  /** Commands that wait for their answer. */
  underWay = 0;
  /** Why it is to be closed as soon as nothing is under way; null while it may stay. */
  private farewell: string | null = null;
  /** null while it catches up: what comes meanwhile is found in the log. */
  private reader: Asker | null = null;

  constructor(
    readonly socket: WebSocket,
    readonly personId: string,
    real: Clock,
  ) {
    this.bucket = new Bucket(real, BURST, PER_SECOND);
  }

  get open(): boolean {
    return this.socket.readyState === this.socket.OPEN;
  }

  /** Sends something that must not be missed. */
  send(message: ServerMessage): void {
    this.sendBytes(Buffer.from(JSON.stringify(message)));
  }

  /** Sends a message made once for many phones: the same bytes, not copied for each. */
  sendBytes(message: Buffer): void {
    if (!this.open) return;
    if (this.socket.bufferedAmount > CUT_BYTES) this.socket.terminate();
    else this.socket.send(message, TEXT);
  }

  /** Sends, and resolves when it has left: for long stretches, so that they don't pile up. */
  sendSlowly(message: Buffer): Promise<boolean> {
    return new Promise((done) => {
      if (!this.open) done(false);
      else this.socket.send(message, TEXT, (error) => done(error == null));
    });
  }

  /** Sends the present state of something: the same twice is sent once, a later one replaces one that waits. */
  show(what: string, message: Buffer): void {
    if (this.sent.get(what) === message) this.waiting.delete(what);
    else if (this.socket.bufferedAmount > BUSY_BYTES) this.waiting.set(what, message);
    else {
      this.waiting.delete(what);
      this.sent.set(what, message);
      this.sendBytes(message);
    }
  }

  /** Shows what had to wait. */
  showWaiting(): void {
    for (const [what, message] of [...this.waiting]) this.show(what, message);
  }

  /** It has caught up: what is stored from now on is told at once. */
  tellFromNowOn(reader: Asker): void {
    if (!this.dismissed) this.reader = reader;
  }

  get dismissed(): boolean {
    return this.farewell !== null;
  }

  /** Its token is void: it is told and asked nothing more, and is closed once its last command is answered. */
  dismiss(farewell: string): void {
    this.farewell = farewell;
    this.reader = null;
    this.leaveWhenDone();
  }

  leaveWhenDone(): void {
    if (this.farewell !== null && this.underWay === 0) this.socket.close(SIGNED_OUT, this.farewell);
  }

  /** A notice that has just been stored. */
  tell(text: NoticeText): void {
    const message = this.reader && text.for(this.reader);
    if (message) this.sendBytes(message);
  }

  /** Whether another message may be taken from it now; closes the connection when it never stops. */
  mayAsk(): boolean {
    if (this.bucket.take()) {
      this.refused = 0;
      return true;
    }
    if (++this.refused > MOST_REFUSED) this.socket.close(1008, "too many messages");
    return false;
  }
}
