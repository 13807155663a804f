/**
 * A loopback stand-in for the chat platform: the documented HTTP API v10 and Gateway v10, enough of both
 * for the real client to run against it unchanged. Nothing here is imported by src.
 */
import { once } from "node:events";
import type { AddressInfo } from "node:net";
import { type Clock, systemClock } from "../../../../src/base/clock.js";
import type { Millis } from "../../../../src/base/units.js";
import { Commands } from "./command-rules.js";
import { Faults } from "./faults.js";
import { Gateway } from "./gateway.js";
import { httpApi } from "./http-api.js";
import { Interactions } from "./interactions.js";
import { Messages } from "./messages.js";
import { Person } from "./people.js";
import { type RateLimitRules, RateLimits } from "./rate-limits.js";
import { type Guild, World } from "./world.js";

export interface StandInOptions {
  /** Drives nonces, tokens and ids; real time unless given. */
  readonly clock?: Pick<Clock, "now">;
  /** Enforced in real time; none unless given. */
  readonly limits?: RateLimitRules;
  readonly latencyMs?: Millis;
  readonly token?: string;
  readonly heartbeatIntervalMs?: Millis;
}

export interface StandIn {
  /** What goes into `discord.apiUrl`. */
  readonly apiUrl: string;
  readonly token: string;
  readonly world: World;
  readonly messages: Messages;
  readonly interactions: Interactions;
  readonly commands: Commands;
  readonly gateway: Gateway;
  readonly faults: Faults;
  readonly limits: RateLimits | null;
  /** Requests in order of arrival, "POST /channels/1/messages". */
  readonly log: string[];
  /** A person who joins a server now. */
  join(guild: Guild, name: string, roles?: string[]): Person;
  /** The same person in another server. */
  joinToo(guild: Guild, person: Person): Person;
  /** The owner of a server. */
  owner(guild: Guild): Person;
  stop(): Promise<void>;
}

/** Starts the stand-in on a free loopback port. */
export async function startStandIn(options: StandInOptions = {}): Promise<StandIn> {
  const clock = options.clock ?? systemClock();
  const real = systemClock();
  const token = options.token ?? "stand-in.token.not-a-secret";
  const world = new World(() => clock.now(), token);
  const messages = new Messages(world);
  const interactions = new Interactions(world, messages);
  const commands = new Commands(world);
  const faults = new Faults();
  const limits = options.limits ? new RateLimits(options.limits, () => real.now()) : null;
  const log: string[] = [];
  let port = 0;
  const sessionsLeft = (): number => gateway.sessionsLeft;
  const gatewayUrl = (): string => `ws://127.0.0.1:${port}`;
  const server = httpApi({
    world,
    messages,
    commands,
    interactions,
    faults,
    limits,
    gatewayUrl,
    sessionsLeft,
    log,
    latencyMs: options.latencyMs ?? 0,
  });
  const gateway: Gateway = new Gateway(world, server.server, gatewayUrl);
  if (options.heartbeatIntervalMs) gateway.heartbeatIntervalMs = options.heartbeatIntervalMs;
  await server.listen({ host: "127.0.0.1", port: 0 });
  if (!server.server.listening) await once(server.server, "listening");
  port = (server.server.address() as AddressInfo).port;
  world.fileServer = `http://127.0.0.1:${port}`;
  const parts = { world, gateway, interactions, messages };
  return {
    apiUrl: `http://127.0.0.1:${port}/api`,
    token,
    world,
    messages,
    interactions,
    commands,
    gateway,
    faults,
    limits,
    log,
    join(guild, name, roles = []) {
      const user = world.addUser(name);
      world.addMember(guild, user.id, roles);
      return new Person(parts, guild, user.id);
    },
    joinToo(guild, { userId }) {
      world.addMember(guild, userId);
      return new Person(parts, guild, userId);
    },
    owner: (guild) => new Person(parts, guild, guild.ownerId),
    async stop() {
      gateway.close();
      await server.close();
    },
  };
}
