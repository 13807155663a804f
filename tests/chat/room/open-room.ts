/** A room over a real desk, outbox and commands, with clocks that tests move by hand; pages that speak to it over loopback. */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach } from "vitest";
import WebSocket from "ws";
import { silentLog } from "../../../src/base/log.js";
import { type RoomOptions, RoomSurface } from "../../../src/chat/room/surface.js";
import type { ClientMessage, Sequence, ServerMessage, WireNotice } from "../../../src/chat/room/wire.js";
import type { SurfaceHost } from "../../../src/chat/surface.js";
import type { Services } from "../../../src/commands/services.js";
import type { Config } from "../../../src/config/config.js";
import { loadConfig } from "../../../src/config/load.js";
import type { Estimate, ForecastService } from "../../../src/estimates/forecast-service.js";
import type { Desk } from "../../../src/journal/desk.js";
import type { NightslateEvent } from "../../../src/journal/events.js";
import { openDesk, openMemoryDesk } from "../../../src/journal/open-desk.js";
import type { TelescopeStatus } from "../../../src/journal/telescope-status.js";
import { deriveNotices } from "../../../src/notices/derive.js";
import { startOutbox } from "../../../src/notices/outbox.js";
import { pictures } from "../../../src/pictures/pictures.js";
import { loadCatalogue } from "../../../src/sky/load-catalogue.js";
import { practiceTraits } from "../../../src/telescope/practice/link.js";
import { ManualClock } from "../../../src/tools/manual-clock.js";
import { hostFor } from "../../../src/wiring/host.js";
import { venuesOf } from "../../../src/wiring/surfaces.js";

/** Dusk at the example observatory. */
export const DUSK = Date.UTC(2026, 10, 26, 0, 30);
export const CODE = "TEST-CODE";
const PAGE = new URL("../../../src/chat/room/page", import.meta.url).pathname;
const loaded = loadConfig(new URL("../../../config/tern-hollow.yaml", import.meta.url).pathname);
const catalogue = loadCatalogue();
const open: (() => Promise<unknown> | unknown)[] = [];

/** Ends what a test has opened, newest first. */
export async function closeAll(): Promise<void> {
  for (const close of open.splice(0).reverse()) await close();
}
afterEach(closeAll);

export function tempFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "room-"));
  open.push(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

export function roomConfig(change: Partial<Config["room"]> = {}): Config {
  return { ...loaded, room: { ...loaded.room, port: 0, classCode: CODE, ...change } };
}

export interface RoomUnderTest {
  readonly room: RoomSurface;
  readonly services: Services;
  readonly desk: Desk;
  readonly folder: string;
  /** The telescope's and the real clock. */
  readonly clock: ManualClock;
  readonly real: ManualClock;
  readonly printed: string[];
  readonly url: string;
  readonly pass: string;
  status: TelescopeStatus;
  join(name: string, more?: Partial<JoinBody>, headers?: Record<string, string>): Promise<Joined>;
  /** Joins and connects. */
  enter(name: string, more?: Partial<JoinBody>): Promise<Page & { readonly cookie: string }>;
  /** Sends a form as the room's page does. */
  post(path: string, form: object, cookie?: string): Promise<Posted>;
  /** Whom the server takes a browser for. */
  who(cookie: string): Promise<{ readonly me: string | null; readonly role: string | null }>;
  connect(cookie: string, hello?: Hello | null, headers?: Record<string, string>): Promise<Page>;
  /** Stores events as if staff had decided them. */
  happen(...events: NightslateEvent[]): Promise<void>;
  close(): Promise<void>;
}

interface JoinBody {
  readonly code: string;
  readonly group: string | null;
  readonly pass: string | null;
}
export interface Joined {
  readonly status: number;
  readonly cookie: string;
  readonly problem: string;
  readonly code: string;
}
export interface Posted {
  readonly status: number;
  readonly body: Record<string, unknown>;
}
interface Hello {
  readonly after: Sequence | null;
  readonly back?: number;
}

export interface OpenOptions {
  readonly config?: Config;
  /** Kept on disk there; in memory when left out. */
  readonly folder?: string;
  readonly lan?: boolean;
  /** Changes what the room is given. */
  readonly host?: (host: SurfaceHost) => SurfaceHost;
}

export async function openRoom(options: OpenOptions = {}): Promise<RoomUnderTest> {
  const config = options.config ?? roomConfig();
  const folder = options.folder ?? tempFolder();
  const clock = new ManualClock(DUSK);
  const real = new ManualClock(Date.UTC(2026, 0, 1));
  const derive = deriveNotices(config, venuesOf(config));
  const desk = options.folder
    ? await openDesk({ store: { kind: "sqlite", folder }, clock, derive, log: silentLog })
    : openMemoryDesk({ clock, derive });
  const inventedClass = config.telescope.practice.classmates;
  const held = { status: { ...idle(), traits: { ...practiceTraits, inventedClass } } };
  const forecast = askingOrder(desk);
  const services: Services = {
    desk,
    clock,
    config,
    catalogue,
    forecast,
    pictures,
    venues: venuesOf(config),
    telescope: () => held.status,
  };
  const printed: string[] = [];
  const roomOptions: RoomOptions = {
    config,
    lan: options.lan ?? false,
    print: (text) => printed.push(text),
    real,
    pageFolder: PAGE,
  };
  const room = new RoomSurface(roomOptions);
  const host = hostFor(services, silentLog, folder);
  await room.start(options.host?.(host) ?? host);
  const outbox = startOutbox({ desk, surfaces: [room], clock, log: silentLog });
  const { address, instructorPass } = room.entry as NonNullable<RoomSurface["entry"]>;
  const url = `http://127.0.0.1:${new URL(address).port}`;
  let closed = false;
  const close = async (): Promise<void> => {
    if (closed) return;
    closed = true;
    await outbox.stop();
    await room.stop();
    await desk.close();
  };
  open.push(close);
  const join = (name: string, more?: Partial<JoinBody>, headers?: Record<string, string>) =>
    joinAt(url, name, more, headers);
  const connect = (cookie: string, hello: Hello | null = { after: null }, headers = {}) =>
    connectTo(url, cookie, hello, headers);
  return {
    room,
    services,
    desk,
    folder,
    clock,
    real,
    printed,
    url,
    pass: instructorPass,
    get status() {
      return held.status;
    },
    set status(status: TelescopeStatus) {
      held.status = status;
    },
    join,
    post: (path, form, cookie = "") => postTo(url + path, form, { origin: url, cookie }),
    who: async (cookie) => (await fetch(`${url}/entry`, { headers: { cookie } })).json() as never,
    connect,
    enter: async (name, more) => {
      const { cookie, problem } = await join(name, more);
      if (cookie === "") throw new Error(problem);
      return Object.assign(await connect(cookie), { cookie });
    },
    happen: async (...events) => {
      await desk.act(() => events, { by: "staff" });
    },
    close,
  };
}

async function joinAt(
  url: string,
  name: string,
  more: Partial<JoinBody> = {},
  headers: Record<string, string> = {},
): Promise<Joined> {
  const response = await fetch(`${url}/join`, {
    method: "POST",
    headers: { "content-type": "application/json", origin: url, ...headers },
    body: JSON.stringify({ code: CODE, group: null, pass: null, ...more, name }),
  });
  const body = (await response.json()) as { problem?: string; code?: string };
  const cookie = (response.headers.get("set-cookie") ?? "").split(";")[0] as string;
  return { status: response.status, cookie, problem: body.problem ?? "", code: body.code ?? "" };
}

async function postTo(address: string, form: object, headers: Record<string, string>): Promise<Posted> {
  const response = await fetch(address, {
    method: "POST",
    headers: { "content-type": "application/json", ...headers },
    body: JSON.stringify(form),
  });
  return { status: response.status, body: (await response.json()) as Record<string, unknown> };
}

/** A page's side of the socket. */
export class Page {
  readonly heard: ServerMessage[] = [];
  closed: number | null = null;
  private readonly waiting = new Set<() => void>();
  private asked = 0;

  constructor(readonly socket: WebSocket) {
    socket.on("message", (data) => {
      this.heard.push(JSON.parse(String(data)) as ServerMessage);
      for (const look of [...this.waiting]) look();
    });
    socket.on("close", (code) => {
      this.closed = code;
      for (const look of [...this.waiting]) look();
    });
    open.push(() => socket.terminate());
  }

  get notices(): WireNotice[] {
    return this.heard.flatMap((each) => (each.t === "notice" ? [each.notice] : []));
  }

  send(message: ClientMessage | string): void {
    this.socket.send(typeof message === "string" ? message : JSON.stringify(message));
  }

  /** Resolves as soon as `found` gives something. */
  until<T>(found: () => T | undefined | null | false): Promise<T> {
    return new Promise((done) => {
      const look = (): void => {
        const value = found();
        if (value === undefined || value === null || value === false) return;
        this.waiting.delete(look);
        done(value);
      };
      this.waiting.add(look);
      look();
    });
  }

  message<T extends ServerMessage["t"]>(t: T): Promise<Extract<ServerMessage, { t: T }>> {
    return this.until(() => this.heard.findLast((each) => each.t === t)) as never;
  }

  async run(line: string, id = `q${++this.asked}`) {
    this.send({ t: "line", id, line });
    const found = () =>
      this.heard.flatMap((each) => (each.t === "reply" && each.id === id ? [each.reply] : [])).at(-1);
    return this.until(found);
  }

  end(): Promise<number> {
    return this.until(() => (this.closed === null ? undefined : ([this.closed] as const))).then(
      ([code]) => code,
    );
  }
}

/** A socket that is refused rejects with the status. */
async function connectTo(
  url: string,
  cookie: string,
  hello: Hello | null,
  headers: Record<string, string>,
): Promise<Page> {
  const socket = new WebSocket(`${url.replace("http", "ws")}/socket`, {
    headers: { cookie, origin: url, ...headers },
  });
  const page = new Page(socket);
  await new Promise<void>((done, failed) => {
    socket.once("open", done);
    socket.once("unexpected-response", (_request, response) =>
      failed(new Error(String(response.statusCode))),
    );
    socket.once("error", failed);
  });
  if (hello === null) return page;
  page.send({ t: "hello", after: hello.after, back: hello.back ?? 60 });
  await page.message("caught-up");
  return page;
}

export function idle(): TelescopeStatus {
  return {
    activity: "idle",
    requestNumber: null,
    sinceUnixMs: DUSK,
    untilUnixMs: null,
    altitudeDegrees: null,
    azimuthDegrees: null,
    domeAzimuthDegrees: null,
    waitingFor: null,
    domeDegreesLeft: null,
    frame: null,
    frames: null,
    exposureSeconds: null,
    equipment: { telescope: "ready", dome: "open", camera: "fitted", sky: "clear" },
    traits: practiceTraits,
  };
}

/** First come, first served, five minutes each: what the room shows of a forecast, and no more. */
function askingOrder(desk: Desk): ForecastService {
  const estimateAt = (number: number, place: number): Estimate => ({
    number,
    place,
    startUnixMs: DUSK + place * 300_000,
    earliestUnixMs: DUSK + place * 280_000,
    latestUnixMs: DUSK + place * 330_000,
    chanceTonight: 1,
    turn: null,
    noTurn: null,
    altitudeDegrees: null,
    laterUnixMs: null,
  });
  const order = (): Estimate[] =>
    [...desk.state.waiting].map((number, index) => estimateAt(number, index + 1));
  const central = () => ({ turns: [], withoutTurn: new Map() });
  const asked: Partial<ForecastService> = {
    central,
    estimate: (number) =>
      desk.state.taken?.number === number
        ? estimateAt(number, 0)
        : (order().find((each) => each.number === number) ?? null),
    order,
    places: () => new Map(order().map(({ number }, index) => [number, index + 1])),
    nextStep: () => ({ do: "wait", untilUnixMs: Number.POSITIVE_INFINITY, because: "no-requests" }),
    underRule: central,
    settled: async () => {},
  };
  return asked as ForecastService;
}
