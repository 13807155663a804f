/** The Gateway v10 over a real web socket: hello, identify, heartbeats, events, resume, and all the ways it ends. */
import { randomUUID } from "node:crypto";
import type { Server } from "node:http";
import { GatewayDispatchEvents, GatewayOpcodes } from "discord-api-types/v10";
import { type WebSocket, WebSocketServer } from "ws";
import { guildCreate } from "./shapes.js";
import type { Guild, World } from "./world.js";

interface Session {
  readonly id: string;
  sequence: number;
  /** Events already sent, for a resume. */
  readonly sent: { readonly s: number; readonly t: string; readonly d: unknown }[];
  socket: WebSocket | null;
  /** Whether a resume is accepted. */
  resumable: boolean;
}

export interface IdentifyData {
  readonly token: string;
  readonly intents: number;
}

/** Close codes an app cannot recover from (documented). */
const AUTHENTICATION_FAILED = 4004;
const DISALLOWED_INTENTS = 4014;
/** Close codes after which the client begins anew (documented). */
const INVALID_SEQUENCE = 4007;
const SESSION_TIMED_OUT = 4009;

export class Gateway {
  private readonly sockets: WebSocketServer;
  private readonly sessions = new Map<string, Session>();
  private open: Session[] = [];
  private arrivals: (() => void)[] = [];
  heartbeatIntervalMs = 41_250;
  /** Privileged intents that are switched off in the portal: asking for them is refused. */
  readonly disallowedIntents = (1 << 1) | (1 << 8) | (1 << 15);
  readonly identified: IdentifyData[] = [];
  /** How often the bot may still identify until tomorrow. */
  sessionsLeft = 1_000;
  resumes = 0;
  heartbeats = 0;
  /** While false, the connection looks dead to the client. */
  answersHeartbeats = true;
  /** While true, new connections are refused at once. */
  refuseConnections = false;

  constructor(
    private readonly world: World,
    server: Server,
    private readonly url: () => string,
  ) {
    this.sockets = new WebSocketServer({ noServer: true });
    server.on("upgrade", (request, socket, head) => {
      if (this.refuseConnections) {
        socket.destroy();
        return;
      }
      this.sockets.handleUpgrade(request, socket, head, (webSocket) => this.greet(webSocket));
    });
  }

  /** Sends an event to every connected session, and keeps it for those who may resume. */
  dispatch(event: string, data: unknown): void {
    for (const session of this.sessions.values()) if (session.resumable) this.send(session, event, data);
  }

  /** The bot was let into a server. */
  admit(guild: Guild): void {
    this.dispatch(GatewayDispatchEvents.GuildCreate, guildCreate(this.world, guild));
  }

  /** Resolves when a session is connected and has had all its servers. */
  async connected(): Promise<void> {
    while (this.open.length === 0) await new Promise<void>((done) => this.arrivals.push(done));
  }

  isConnected(): boolean {
    return this.open.length > 0;
  }

  /** The connection breaks; the session may be resumed. */
  drop(code = 4000): void {
    for (const session of this.take()) session.socket?.close(code);
  }

  /** The cable is cut: no closing handshake at all. */
  cut(): void {
    for (const session of this.take()) session.socket?.terminate();
  }

  /** The session is gone for good: a resume will be answered with "invalid session". */
  dropForGood(): void {
    for (const session of this.take()) {
      session.resumable = false;
      session.socket?.close(4000);
    }
  }

  /** Opcode 7: the platform asks the client to come back. */
  askToReconnect(): void {
    for (const session of this.take()) session.socket?.send(JSON.stringify({ op: GatewayOpcodes.Reconnect }));
  }

  /** Opcode 9, with or without a way back. */
  invalidate(resumable = false): void {
    for (const session of this.take()) {
      session.resumable = resumable;
      session.socket?.send(JSON.stringify({ op: GatewayOpcodes.InvalidSession, d: resumable }));
    }
  }

  /** The session has been silent for too long for the platform's taste. */
  timeOut(): void {
    for (const session of this.take()) {
      session.resumable = false;
      session.socket?.close(SESSION_TIMED_OUT, "Session timed out.");
    }
  }

  /** Ends all connections. */
  close(): void {
    for (const client of this.sockets.clients) client.terminate();
    this.sockets.close();
  }

  private take(): Session[] {
    const taken = this.open;
    this.open = [];
    return taken;
  }

  private greet(socket: WebSocket): void {
    socket.on("error", () => socket.terminate());
    socket.on("message", (raw) => this.hear(socket, JSON.parse(String(raw)) as { op: number; d: unknown }));
    socket.on("close", () => {
      this.open = this.open.filter((each) => each.socket !== socket);
    });
    socket.send(
      JSON.stringify({ op: GatewayOpcodes.Hello, d: { heartbeat_interval: this.heartbeatIntervalMs } }),
    );
  }

  private hear(socket: WebSocket, { op, d }: { op: number; d: unknown }): void {
    if (op === GatewayOpcodes.Heartbeat) {
      this.heartbeats++;
      if (this.answersHeartbeats) socket.send(JSON.stringify({ op: GatewayOpcodes.HeartbeatAck }));
    } else if (op === GatewayOpcodes.Identify) this.identify(socket, d as IdentifyData);
    else if (op === GatewayOpcodes.Resume) this.resume(socket, d as { session_id: string; seq: number });
  }

  private identify(socket: WebSocket, data: IdentifyData): void {
    this.identified.push(data);
    if (this.sessionsLeft < 1) {
      socket.send(JSON.stringify({ op: GatewayOpcodes.InvalidSession, d: false }));
      return;
    }
    this.sessionsLeft--;
    if (data.token !== this.world.token) {
      socket.close(AUTHENTICATION_FAILED, "Authentication failed.");
      return;
    }
    if (data.intents & this.disallowedIntents) {
      socket.close(DISALLOWED_INTENTS, "Disallowed intent(s).");
      return;
    }
    const session: Session = { id: randomUUID(), sequence: 0, sent: [], socket, resumable: true };
    this.sessions.set(session.id, session);
    const own = [...this.world.guilds.values()].filter((guild) => guild.members.has(this.world.bot.id));
    this.send(session, GatewayDispatchEvents.Ready, {
      v: 10,
      user: this.world.bot,
      guilds: own.map((guild) => ({ id: guild.id, unavailable: true })),
      session_id: session.id,
      resume_gateway_url: this.url(),
      shard: [0, 1],
      application: { id: this.world.applicationId, flags: 0 },
    });
    for (const guild of own)
      this.send(session, GatewayDispatchEvents.GuildCreate, guildCreate(this.world, guild));
    this.arrive(session);
  }

  private resume(socket: WebSocket, { session_id, seq }: { session_id: string; seq: number }): void {
    const session = this.sessions.get(session_id);
    if (!session?.resumable) {
      socket.send(JSON.stringify({ op: GatewayOpcodes.InvalidSession, d: false }));
      return;
    }
    if (seq > session.sequence) {
      session.resumable = false;
      socket.close(INVALID_SEQUENCE, "Invalid seq.");
      return;
    }
    this.resumes++;
    session.socket = socket;
    for (const missed of session.sent.filter((each) => each.s > seq))
      socket.send(JSON.stringify({ op: GatewayOpcodes.Dispatch, ...missed }));
    this.send(session, GatewayDispatchEvents.Resumed, {});
    this.arrive(session);
  }

  private arrive(session: Session): void {
    this.open.push(session);
    for (const tell of this.arrivals.splice(0)) tell();
  }

  private send(session: Session, t: string, d: unknown): void {
    const event = { s: ++session.sequence, t, d };
    session.sent.push(event);
    if (session.sent.length > 5_000) session.sent.shift();
    if (session.socket?.readyState === session.socket?.OPEN)
      session.socket?.send(JSON.stringify({ op: GatewayOpcodes.Dispatch, ...event }));
  }
}
