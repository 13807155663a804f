/** The room's socket: who may connect, what they ask, what they are told. */
import type { IncomingMessage, Server } from "node:http";
import type { Duplex } from "node:stream";
import { type WebSocket, WebSocketServer } from "ws";
import type { CallOff } from "../../../base/clock.js";
import { SECOND } from "../../../base/units.js";
import type { Asker, GivenFile } from "../../../commands/command.js";
import type { Reply } from "../../../commands/reply.js";
import type { Entry } from "../../../journal/events.js";
import type { PersonId } from "../../../queue/request.js";
import { Tokens } from "../door/tokens.js";
import { catchUp } from "../live/catch-up.js";
import { helloFor } from "../live/hello.js";
import { Live } from "../live/live.js";
import type { NoticeLog } from "../live/notice-log.js";
import { NoticeText } from "../live/notice-view.js";
import { wireReply } from "../live/to-wire.js";
import type { RoomParts } from "../parts.js";
import { type ClientMessage, SIGNED_OUT, type WireEntry, type WireReply } from "../wire.js";
import { isOwnHost, isSameOrigin } from "./addresses.js";
import { Bucket } from "./bucket.js";
import { LONGEST_MESSAGE, readMessage } from "./messages.js";
import { Phone } from "./phone.js";
import { notSoFast, refusal, STILL_BUSY } from "./refused.js";

export interface SocketParts extends RoomParts {
  readonly log: NoticeLog;
  /** How a phone gets in, for staff to show. */
  readonly entry: () => WireEntry;
}

const MOST_PHONES = 1_500;
/** Tabs and devices of one person. */
const MOST_FOR_PERSON = 8;
/** Connections of one person: so many at once, then so many a second. */
const ARRIVALS_AT_ONCE = 20;
const ARRIVALS_PER_SECOND = 0.5;
const PING_MS = 20 * SECOND;
/** Commands of one phone that wait for their answer. */
const MOST_UNDER_WAY = 6;

export class RoomSocket {
  private readonly phones = new Set<Phone>();
  private readonly server = new WebSocketServer({
    noServer: true,
    maxPayload: LONGEST_MESSAGE,
    perMessageDeflate: false,
    clientTracking: false,
  });
  private readonly live: Live;
  private readonly arrivals = new Map<PersonId, Bucket>();
  private callOffPing: CallOff = () => {};

  constructor(private readonly parts: SocketParts) {
    this.live = new Live(parts.host.services, parts.classId, () => this.phones, parts.real);
  }

  /** Takes over the upgrades of a web server. */
  attach(web: Server): void {
    web.on("upgrade", (request, socket, head) => this.upgrade(request, socket, head));
    this.live.start();
    this.ping();
  }

  /** A stored entry: its notices go out at once, the rest is shown soon. */
  note(entry: Entry): void {
    this.dismiss(Tokens.voidedBy(entry));
    for (const logged of this.parts.log.note(entry)) {
      const text = new NoticeText(logged, this.parts.host);
      for (const phone of this.phones) phone.tell(text);
    }
    this.live.changed();
  }

  private dismiss(voided: ReadonlyMap<PersonId, string>): void {
    for (const phone of voided.size === 0 ? [] : this.phones) {
      const farewell = voided.get(phone.personId);
      if (farewell === undefined) continue;
      this.phones.delete(phone);
      phone.dismiss(farewell);
    }
  }

  stop(): void {
    this.live.stop();
    this.callOffPing();
    for (const phone of this.phones) phone.socket.close(1001, "the room closes");
    this.server.close();
  }

  private upgrade(request: IncomingMessage, socket: Duplex, head: Buffer): void {
    const refuse = (status: string): void => {
      socket.end(`HTTP/1.1 ${status}\r\nconnection: close\r\ncontent-length: 0\r\n\r\n`);
    };
    const { host, origin, cookie } = request.headers;
    socket.on("error", () => socket.destroy());
    const person = this.parts.tokens.personOf(cookie);
    const ownPage = isOwnHost(host, this.parts.hostNames) && isSameOrigin(origin, host);
    if (request.url !== "/socket") refuse("404 Not Found");
    else if (!ownPage) refuse("403 Forbidden");
    else if (!person) refuse("401 Unauthorized");
    else if (this.phones.size >= MOST_PHONES) refuse("503 Service Unavailable");
    else if (!this.mayConnect(person)) refuse("429 Too Many Requests");
    else this.admit(request, socket, head, person);
  }

  /** Coming back makes the server look things up, so it is rationed. */
  private mayConnect({ id }: Asker): boolean {
    const bucket =
      this.arrivals.get(id) ?? new Bucket(this.parts.real, ARRIVALS_AT_ONCE, ARRIVALS_PER_SECOND);
    this.arrivals.set(id, bucket);
    return bucket.take();
  }

  private admit(request: IncomingMessage, socket: Duplex, head: Buffer, person: Asker): void {
    const own = [...this.phones].filter((phone) => phone.personId === person.id);
    // The oldest of too many gives way: it is the tab that was forgotten.
    if (own.length >= MOST_FOR_PERSON) own[0]?.socket.close(1008, "too many pages of one person");
    this.server.handleUpgrade(request, socket, head, (webSocket) => this.connect(webSocket, person));
  }

  private connect(socket: WebSocket, person: Asker): void {
    const phone = new Phone(socket, person.id, this.parts.real);
    this.phones.add(phone);
    socket.on("close", () => this.phones.delete(phone));
    socket.on("error", () => socket.terminate());
    socket.on("pong", () => {
      phone.alive = true;
    });
    socket.on("message", (data, isBinary) => {
      if (phone.dismissed) return;
      if (isBinary) return socket.close(1003, "text only");
      const message = readMessage(String(data));
      if (!message) return socket.close(1008, "not understood");
      if (!phone.mayAsk()) return phone.send(notSoFast(message));
      void this.answer(phone, message).catch((error: unknown) => {
        this.parts.host.log.error({ reason: (error as Error).message }, "the room failed to answer a page");
        phone.send({ t: "trouble", text: "Something went wrong: try again." });
      });
    });
  }

  private async answer(phone: Phone, message: ClientMessage): Promise<void> {
    const person = this.parts.tokens.person(phone.personId);
    if (!person) return phone.socket.close(SIGNED_OUT, "Come in first.");
    if ((message.t === "hello") === phone.greeted) return phone.socket.close(1008, "one hello, and first");
    switch (message.t) {
      case "hello":
        return this.greet(phone, person, message);
      case "suggest": {
        const { id, command, option, typed } = message;
        return phone.send({
          t: "suggestions",
          id,
          items: this.parts.host.suggest(command, option, typed, person),
        });
      }
      case "pass":
        if (person.role !== "instructor")
          return phone.send({ t: "trouble", text: "Only an instructor makes passes." });
        return phone.send({
          t: "pass",
          role: message.role,
          pass: this.parts.codes.makePass(message.role, person.id),
        });
      default:
        return this.runFor(phone, person, message);
    }
  }

  private async greet(phone: Phone, person: Asker, hello: ClientMessage & { t: "hello" }): Promise<void> {
    const { host, tokens, classId, log } = this.parts;
    const entry = person.role === "student" ? null : this.parts.entry();
    phone.send({ t: "hello", ...helloFor(person, host, classId, tokens.book, entry) });
    phone.greeted = true;
    this.live.welcome(phone);
    await catchUp(phone, person, hello.after, hello.back, log, host);
  }

  private async runFor(
    phone: Phone,
    asker: Asker,
    message: ClientMessage & { t: "line" | "run" },
  ): Promise<void> {
    const { host, classId, uploads } = this.parts;
    if (phone.underWay >= MOST_UNDER_WAY) return phone.send(refusal(message.id, STILL_BUSY));
    phone.underWay += 1;
    const given: string[] = [];
    try {
      const from = { surface: "room", channel: classId };
      const giveFile = (id: string): GivenFile => {
        given.push(id);
        return uploads.of(asker, id);
      };
      // The page's own id: a question sent again after a lost connection is acted on once.
      const typing = { asker, from, onceKey: `${asker.id}:${message.id}`, giveFile };
      const answering =
        message.t === "line"
          ? host.runText(message.line, typing)
          : host.run({ command: message.command, options: message.options, ...typing });
      const reply = await answering.finally(() => uploads.drop(asker, given));
      phone.send({ t: "reply", id: message.id, reply: this.wired(reply, asker) });
    } finally {
      phone.underWay -= 1;
      phone.leaveWhenDone();
    }
  }

  private wired(reply: Reply, { id, classId }: Asker): WireReply {
    const { host, handouts } = this.parts;
    return wireReply(
      reply,
      (personId) => host.nameFor(personId, classId),
      (content, mediaType, fileName) => handouts.put(id, content, mediaType, fileName),
    );
  }

  /** Cuts those that have not answered since the last time. */
  private ping(): void {
    this.callOffPing = this.parts.real.at(this.parts.real.now() + PING_MS, () => {
      for (const phone of this.phones) {
        if (!phone.alive) phone.socket.terminate();
        phone.alive = false;
        phone.socket.ping();
      }
      this.ping();
    });
  }
}
