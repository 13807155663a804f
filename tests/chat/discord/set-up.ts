/** A class on the stand-in: the real client and surface, a desk in memory, commands that a test can steer. */
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Log } from "../../../src/base/log.js";
import { say } from "../../../src/base/phrase.js";
import type { UtcMillis } from "../../../src/base/units.js";
import { DiscordSurface } from "../../../src/chat/discord/surface.js";
import type { Board, SurfaceHost, Typing } from "../../../src/chat/surface.js";
import type { Asker, Call, CommandSpec, Suggestion } from "../../../src/commands/command.js";
import { joiningAt } from "../../../src/commands/people/people.js";
import type { Reply } from "../../../src/commands/reply.js";
import type { Services } from "../../../src/commands/services.js";
import { type Config, configSchema } from "../../../src/config/config.js";
import { loadConfig } from "../../../src/config/load.js";
import type { Desk } from "../../../src/journal/desk.js";
import { openMemoryDesk } from "../../../src/journal/open-desk.js";
import type { Address } from "../../../src/queue/request.js";
import { ManualClock } from "../../../src/tools/manual-clock.js";
import { venuesOf } from "../../../src/wiring/surfaces.js";
import { type StandIn, type StandInOptions, startStandIn } from "./stand-in/stand-in.js";
import type { Channel, Guild } from "./stand-in/world.js";
import { TABLE } from "./table.js";

/** An evening at the example observatory. */
export const START: UtcMillis = Date.UTC(2026, 10, 26, 2, 30);
const MANAGE_MESSAGES = 1n << 13n;

export interface ClassOnDiscord {
  readonly classId: string;
  readonly guild: Guild;
  readonly channel: Channel;
  readonly instructorRoleId: string;
  readonly operatorRoleId: string;
}

export interface SetUp {
  readonly clock: ManualClock;
  readonly standIn: StandIn;
  readonly config: Config;
  readonly classes: readonly ClassOnDiscord[];
  readonly desk: Desk;
  readonly host: TestHost;
  readonly surface: DiscordSurface;
  /** What the operator was told. */
  readonly said: string[];
  /** What was logged, as JSON. */
  readonly logged: string[];
  /** A second process in effect: the same desk and class, a new surface. */
  restart(): Promise<DiscordSurface>;
  stop(): Promise<void>;
}

export interface SetUpOptions extends StandInOptions {
  /** Ids of the classes, each with a server of its own. */
  readonly classIds?: readonly string[];
  /** All of them meet in one server, each in a channel of its own. */
  readonly inOneServer?: boolean;
  readonly table?: readonly CommandSpec[];
  /** Changes the world before the surface starts. */
  readonly before?: (standIn: StandIn, classes: readonly ClassOnDiscord[]) => void;
  /** Changes the configuration before the surface starts. */
  readonly configure?: (config: Config) => Config;
  /** What the bot logs in with, when not the right one. */
  readonly botToken?: string;
  readonly autoStart?: boolean;
}

/** Starts everything; `stop` ends it. */
export async function setUp(options: SetUpOptions = {}): Promise<SetUp> {
  const clock = new ManualClock(START);
  const standIn = await startStandIn({ clock, ...options });
  const shared = options.inOneServer ? standIn.world.addGuild("Server of all") : null;
  const classes = (options.classIds ?? ["evening-2"]).map((classId) => addClass(standIn, classId, shared));
  options.before?.(standIn, classes);
  const plain = configFor(standIn.apiUrl, classes);
  const config = options.configure?.(plain) ?? plain;
  const desk = openMemoryDesk({ clock, derive: () => [] });
  const said: string[] = [];
  const logged: string[] = [];
  const host = new TestHost(desk, clock, config, listLog(logged));
  const make = (): DiscordSurface =>
    new DiscordSurface({
      config,
      token: options.botToken ?? standIn.token,
      log: host.log,
      say: (line) => said.push(line),
      table: options.table ?? TABLE,
      realClock: clock,
      timeoutMs: 1_000,
    });
  const surfaces = [make()];
  const surface = surfaces[0] as DiscordSurface;
  if (options.autoStart !== false) await surface.start(host);
  return {
    clock,
    standIn,
    config,
    classes,
    desk,
    host,
    surface,
    said,
    logged,
    async restart() {
      await surfaces.at(-1)?.stop();
      const next = make();
      surfaces.push(next);
      await next.start(host);
      return next;
    },
    async stop() {
      await surfaces.at(-1)?.stop();
      await standIn.stop();
      await desk.close();
    },
  };
}

function addClass(standIn: StandIn, classId: string, shared: Guild | null): ClassOnDiscord {
  const { world } = standIn;
  const guild = shared ?? world.addGuild(`Server of ${classId}`);
  const channel = world.addChannel(guild, "telescope");
  const instructorRoleId = world.addRole(guild, "Instructor", MANAGE_MESSAGES).id;
  const operatorRoleId = world.addRole(guild, "Operator", MANAGE_MESSAGES).id;
  return { classId, guild, channel, instructorRoleId, operatorRoleId };
}

/** The example configuration with these classes on the stand-in. */
export function configFor(apiUrl: string, classes: readonly ClassOnDiscord[]): Config {
  const example = loadConfig("config/tern-hollow.yaml");
  const [first] = example.classes;
  return configSchema.parse({
    ...example,
    classes: classes.map(({ classId }, index) => ({
      ...first,
      id: classId,
      name: `Class ${classId}`,
      // A student belongs to one class, so the list is the first one's.
      ...(index > 0 ? { students: [], operators: [], instructors: [] } : {}),
    })),
    discord: {
      apiUrl,
      guilds: classes.map((each) => ({
        guildId: each.guild.id,
        classId: each.classId,
        channelId: each.channel.id,
        instructorRoleIds: [each.instructorRoleId],
        operatorRoleIds: [each.operatorRoleId],
      })),
    },
  });
}

export function listLog(lines: string[]): Log {
  const keep = (details: object, message: string): void =>
    void lines.push(JSON.stringify({ ...details, message }));
  return { info: keep, warn: keep, error: keep };
}

/** A host whose commands answer as the test says. */
export class TestHost implements SurfaceHost {
  readonly calls: Call[] = [];
  readonly welcomed: Asker[] = [];
  readonly names = new Map<string, { name: string; classId: string }>();
  readonly dataFolder = mkdtempSync(join(tmpdir(), "nightslate-discord-"));
  readonly services: Services;
  suggestions: Suggestion[] = [];
  boardLines: Board["lines"] = [say`Now: nothing is being observed.`];
  /** Answers a call; the default says so. */
  answer: (call: Call) => Reply | Promise<Reply> = (call) => plainReply(`${call.command} done`);

  constructor(
    readonly desk: Desk,
    readonly clock: ManualClock,
    config: Config,
    readonly log: Log,
  ) {
    // Only what a surface reads is there.
    this.services = { desk, clock, config, venues: venuesOf(config) } as unknown as Services;
  }

  async run(call: Call): Promise<Reply> {
    this.calls.push(call);
    return this.answer(call);
  }

  /** What was written to the bot alone. */
  readonly lines: string[] = [];

  async runText(line: string, of: Typing): Promise<Reply> {
    this.lines.push(line);
    return this.run({ command: "target", options: { name: line }, ...of });
  }

  suggest(): readonly Suggestion[] {
    return this.suggestions;
  }

  async welcome(asker: Asker, home: Address): Promise<void> {
    this.welcomed.push(asker);
    this.names.set(asker.id, { name: asker.name, classId: asker.classId });
    const { config } = this.services;
    await this.desk.act((state) => [joiningAt(home, state, asker, config) ?? []].flat(), { by: asker.id });
  }

  nameFor(personId: string, classId: string): string {
    const known = this.names.get(personId);
    return known?.classId === classId ? known.name : "someone in another class";
  }

  board(classId: string): Board {
    return { classId, title: `Board of ${classId}`, lines: this.boardLines };
  }
}

export function plainReply(title: string, rest: Partial<Reply> = {}): Reply {
  return { tone: "answer", title, lines: [], ...rest };
}

/** A promise that the test resolves when it likes. */
export function later<T>(): { readonly promise: Promise<T>; resolve(value: T): void } {
  let resolve!: (value: T) => void;
  const promise = new Promise<T>((done) => {
    resolve = done;
  });
  return { promise, resolve };
}

/** The value, for a test that could not go on without it. */
export function given<T>(value: T | undefined | null): T {
  if (value === undefined || value === null) throw new Error("the test needs this to be there");
  return value;
}
