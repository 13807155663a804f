/** The page's line to the server: connects again by itself, asks again what was not answered. */
import {
  type ClientMessage,
  isAfter,
  type Sequence,
  type ServerMessage,
  SIGNED_OUT,
  type WireDoor,
} from "../wire.js";
import { recall, remember } from "./keep.js";

export interface ConnectionEvents {
  /** `isNew`: a notice that this browser has not been sent before. */
  readonly onMessage: (message: ServerMessage, isNew: boolean) => void;
  /** Connected, or cut off, or not heard from for a while. */
  readonly onState: (connected: boolean) => void;
  /** The server does not know this browser any more; what it said about that, if anything. */
  readonly onStranger: (farewell: string) => void;
}

/** The server says something every two seconds: after so long without a word, what is shown counts as old … */
const QUIET_MS = 4_000;
/** … and after so long the connection is dead, whatever the browser thinks. */
const SILENCE_MS = 15_000;
const LOOK_MS = 500;
const FIRST_WAIT_MS = 400;
const LONGEST_WAIT_MS = 8_000;
/** Notices shown again after a reload. */
const SHOWN_AGAIN = 60;

export class Connection {
  private socket: WebSocket | null = null;
  private after: Sequence | null = readSequence();
  private first = true;
  private waitMs = FIRST_WAIT_MS;
  private heardAt = 0;
  private told: boolean | null = null;
  private timer = 0;
  /** Commands without an answer yet, by id: sent again after a lost connection, acted on once. */
  private readonly asked = new Map<string, ClientMessage>();

  constructor(private readonly events: ConnectionEvents) {
    const wake = (): void => {
      if (document.visibilityState === "visible") this.check();
    };
    document.addEventListener("visibilitychange", wake);
    addEventListener("online", wake);
    addEventListener("offline", () => this.tell(false));
    addEventListener("pageshow", wake);
    setInterval(() => this.check(), LOOK_MS);
  }

  connect(): void {
    clearTimeout(this.timer);
    const socket = new WebSocket(
      `${location.protocol === "https:" ? "wss" : "ws"}://${location.host}/socket`,
    );
    this.socket = socket;
    this.heardAt = performance.now();
    socket.addEventListener("open", () => this.opened(socket));
    socket.addEventListener("message", (event) => this.heard(String(event.data)));
    socket.addEventListener("close", (event) => this.closed(socket, event));
  }

  /** Sends a command; it is sent again until the answer comes. */
  ask(message: Extract<ClientMessage, { id: string }>): void {
    this.asked.set(message.id, message);
    this.send(message);
  }

  /** Sends something that may get lost. @returns whether there was a connection to send it on */
  send(message: ClientMessage): boolean {
    if (this.socket?.readyState !== WebSocket.OPEN) return false;
    this.socket.send(JSON.stringify(message));
    return true;
  }

  /** What was seen of another journal counts for nothing. */
  forgetSeen(): void {
    this.after = null;
    remember("seen", "");
  }

  private opened(socket: WebSocket): void {
    this.waitMs = FIRST_WAIT_MS;
    const hello: ClientMessage = { t: "hello", after: this.after, back: this.first ? SHOWN_AGAIN : 0 };
    socket.send(JSON.stringify(hello));
    this.first = false;
    for (const message of this.asked.values()) socket.send(JSON.stringify(message));
    this.tell(true);
  }

  private heard(text: string): void {
    this.heardAt = performance.now();
    this.tell(true);
    const message = JSON.parse(text) as ServerMessage;
    const seq = message.t === "notice" ? message.notice.seq : null;
    // What a browser is shown at its first coming is the evening so far: history, not news.
    const isNew = seq !== null && this.after !== null && isAfter(seq, this.after);
    if (seq !== null && isNew) this.seen(seq);
    if (message.t === "caught-up") this.seen(message.seq);
    if (message.t === "reply") this.asked.delete(message.id);
    this.events.onMessage(message, isNew);
  }

  private tell(connected: boolean): void {
    if (connected === this.told) return;
    this.told = connected;
    this.events.onState(connected);
  }

  private seen(seq: Sequence): void {
    this.after = seq;
    remember("seen", JSON.stringify(seq));
  }

  private closed(socket: WebSocket, { code, reason }: CloseEvent): void {
    if (this.socket !== socket) return;
    this.socket = null;
    this.tell(false);
    if (code === SIGNED_OUT) {
      this.events.onStranger(reason);
      return;
    }
    this.timer = setTimeout(() => void this.again(), this.waitMs);
    this.waitMs = Math.min(LONGEST_WAIT_MS, this.waitMs * 2);
  }

  /** A refused token cannot be told from a lost network by the socket alone: ask first. */
  private async again(): Promise<void> {
    try {
      const entry = (await (await fetch("/entry")).json()) as WireDoor;
      if (entry.me === null) return this.events.onStranger("");
    } catch {
      // Still away: the socket will fail, and wait longer.
    }
    this.connect();
  }

  /** After sleep or silence. */
  private check(): void {
    if (this.socket === null) return;
    const quietMs = performance.now() - this.heardAt;
    if (quietMs >= QUIET_MS) this.tell(false);
    if (quietMs < SILENCE_MS) return;
    const dead = this.socket;
    this.socket = null;
    dead.close();
    this.tell(false);
    this.connect();
  }
}

function readSequence(): Sequence | null {
  try {
    const read: unknown = JSON.parse(recall("seen") ?? "null");
    const fits = Array.isArray(read) && read.length === 2 && read.every((each) => Number.isSafeInteger(each));
    return fits ? (read as unknown as Sequence) : null;
  } catch {
    return null;
  }
}
