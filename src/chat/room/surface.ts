/** The room: a web page that the bot serves itself, for schools without a chat platform and for newcomers. */
import type { Server } from "node:http";
import { fileURLToPath } from "node:url";
import type { FastifyInstance } from "fastify";
import { type Clock, systemClock } from "../../base/clock.js";
import { Refusal } from "../../base/refusal.js";
import type { Asker } from "../../commands/command.js";
import type { Config } from "../../config/config.js";
import { ReceivedFiles } from "../received-files.js";
import type { Delivery, Parcel, Surface, SurfaceHost } from "../surface.js";
import { makeCode, OneTimeCodes } from "./door/codes.js";
import { Gate } from "./door/gate.js";
import { Door } from "./door/join.js";
import { StaffDesk } from "./door/staff-desk.js";
import { Tokens } from "./door/tokens.js";
import { NoticeLog } from "./live/notice-log.js";
import type { RoomParts } from "./parts.js";
import { addressOf, isLoopback, lanAddresses } from "./serve/addresses.js";
import { Handouts } from "./serve/handouts.js";
import { joinAddress, qrRows, type RoomFacts, roomInvitation } from "./serve/invitation.js";
import { readPageFiles } from "./serve/page-files.js";
import { RoomSocket } from "./serve/socket.js";
import { Uploads } from "./serve/uploads.js";
import { buildWeb } from "./serve/web.js";
import type { WireEntry } from "./wire.js";

export interface RoomOptions {
  readonly config: Config;
  /** Lets other machines of the network in, whatever `room.host` says. */
  readonly lan: boolean;
  /** Shows a text to whoever started the program. */
  readonly print: (text: string) => void;
  /** Whether what is printed is shown in colours. */
  readonly colours?: boolean;
  /** Real time; default: the system's. */
  readonly real?: Clock;
  /** Where the page's files are; default: beside this one. */
  readonly pageFolder?: string;
}

const EVERY_INTERFACE = "0.0.0.0";
/** Ports tried one after the other when the first is taken. */
const MOST_PORTS = 10;

/** The room as one of the program's surfaces. */
export class RoomSurface implements Surface {
  readonly name = "room";
  readonly merges = false;
  private web: FastifyInstance | null = null;
  private socket: RoomSocket | null = null;
  private silence: () => void = () => {};
  private facts: RoomFacts | null = null;
  private readonly codes: OneTimeCodes;
  private readonly real: Clock;
  private readonly code: string;

  constructor(private readonly options: RoomOptions) {
    this.real = options.real ?? systemClock();
    this.codes = new OneTimeCodes(this.real);
    this.code = options.config.room.classCode ?? makeCode(2);
  }

  /** Where it listens and how one gets in; null before the start. */
  get entry(): RoomFacts | null {
    return this.facts;
  }

  /** The web server below, for tests that look at its connections. */
  get server(): Server | null {
    return this.web?.server ?? null;
  }

  /** @throws {Refusal} code "no-port" when it can listen nowhere, or "no-address" */
  async start(host: SurfaceHost): Promise<void> {
    const { config } = this.options;
    const { real, codes } = this;
    const classId = config.room.classId ?? (config.classes[0]?.id as string);
    const { desk } = host.services;
    const tokens = await Tokens.open(desk, classId, real);
    const { hostNames } = config.room;
    const received = new ReceivedFiles(host.dataFolder, this.name, config.telescope.frames.largestMegabytes);
    const uploads = new Uploads(received, real);
    const handouts = new Handouts();
    const parts: RoomParts = { host, classId, hostNames, tokens, codes, handouts, uploads, real };
    const codeIsRandom = config.room.classCode === undefined;
    const gate = new Gate({ code: this.code, codeIsRandom, codes, real });
    const door = new Door(parts, gate, (person) => this.passUsed(person));
    const log = await NoticeLog.open(desk, classId);
    const entry = (): WireEntry => this.wireEntry();
    this.socket = new RoomSocket({ ...parts, log, entry });
    this.silence = desk.listen((stored) => this.socket?.note(stored));
    const page = readPageFiles(this.options.pageFolder ?? fileURLToPath(new URL("./page", import.meta.url)));
    this.web = await buildWeb({ ...parts, door, staffDesk: new StaffDesk(parts), page });
    this.facts = await this.listen(this.web);
    this.socket.attach(this.web.server);
    this.options.print(roomInvitation(this.facts));
  }

  /**
   * The journal is the room's log: a notice stored there is found by every phone it concerns, now or when it
   * comes back. So it is delivered once it is stored, and a repeat changes nothing.
   */
  async deliver(_parcel: Parcel): Promise<Delivery> {
    return { result: "delivered", messageId: null };
  }

  async stop(): Promise<void> {
    this.silence();
    this.socket?.stop();
    this.web?.server.closeAllConnections();
    await this.web?.close();
  }

  private async listen(web: FastifyInstance): Promise<RoomFacts> {
    const { room } = this.options.config;
    const host = this.options.lan && isLoopback(room.host) ? EVERY_INTERFACE : room.host;
    for (let attempt = 0; attempt < MOST_PORTS; attempt++) {
      const port = room.port === 0 ? 0 : room.port + attempt;
      try {
        await web.listen({ host, port });
        return this.factsFor(host, portOf(web), attempt === 0 ? null : room.port);
      } catch (error) {
        const { code } = error as NodeJS.ErrnoException;
        if (code === "EADDRNOTAVAIL" || code === "ENOTFOUND") throw noAddress(host);
        if (code !== "EADDRINUSE" && code !== "EACCES") throw error;
      }
    }
    throw new Refusal(
      "no-port",
      `Ports ${room.port} to ${room.port + MOST_PORTS - 1} are taken: set room.port in the configuration to a free one, or start with --no-room.`,
    );
  }

  private factsFor(host: string, port: number, takenPort: number | null): RoomFacts {
    const open = !isLoopback(host);
    const addresses = open && (host === EVERY_INTERFACE || host === "::") ? lanAddresses() : [host];
    const [first = "127.0.0.1", ...others] = addresses;
    return {
      address: addressOf(first, port),
      others: others.map((each) => addressOf(each, port)),
      open,
      classCode: this.code,
      instructorPass: this.codes.makePass("instructor", null),
      takenPort,
      colours: this.options.colours === true,
    };
  }

  private passUsed(person: Asker): void {
    const next =
      person.role === "instructor" ? `\nA pass for another: ${this.codes.makePass("instructor", null)}` : "";
    this.options.print(`Room: ${person.name} came in as ${person.role} with a one-time pass.${next}`);
  }

  private wireEntry(): WireEntry {
    const { address, classCode, open } = this.facts as RoomFacts;
    return { address, code: classCode, open, qr: open ? qrRows(joinAddress(address, classCode)) : [] };
  }
}

function portOf(web: FastifyInstance): number {
  const address = web.server.address();
  return typeof address === "object" && address !== null ? address.port : 0;
}

function noAddress(host: string): Refusal {
  return new Refusal(
    "no-address",
    `room.host "${host}" is no address of this machine: set it to 127.0.0.1, or start with --lan.`,
  );
}
