/** The connection: logs in, stays logged in, and says in one sentence why when it cannot. */
import {
  type APIInteraction,
  Client,
  DefaultRestOptions,
  Events,
  GatewayDispatchEvents,
  GatewayIntentBits,
  type GatewayMessageCreateDispatchData,
  Options,
  REST,
  type RESTOptions,
} from "discord.js";
import type { Clock } from "../../base/clock.js";
import type { Log } from "../../base/log.js";
import { Refusal } from "../../base/refusal.js";
import { type Millis, SECOND } from "../../base/units.js";
import { explain, explainClose, GatewaySilent } from "./errors.js";

export interface ConnectionOptions {
  readonly token: string;
  /** Address of the API for a proxy or a stand-in, ending in /api; undefined for the real one. */
  readonly apiUrl: string | undefined;
  readonly log: Log;
  /** Tells the operator something that needs doing. */
  readonly say: (line: string) => void;
  /** Longest wait for the answer to one request without files; ten seconds unless given. */
  readonly timeoutMs?: Millis;
}

const USUAL_TIMEOUT: Millis = 10 * SECOND;
/** The largest file takes so long at three megabits a second. */
const UPLOAD_TIMEOUT: Millis = 30 * SECOND;
/** A connection that has not told us our servers by then needs a word to the operator. */
const LONG_LOGIN: Millis = 15 * SECOND;

/** Of attempts to connect in a row, the first of so many is logged. */
const LOGGED_ATTEMPTS = 100;

/** How requests are sent: once, with time for uploads, and to the address given. */
export function restOptions(apiUrl: string | undefined, timeoutMs = USUAL_TIMEOUT): Partial<RESTOptions> {
  return {
    // A post whose answer is lost would be repeated without our looking back first.
    retries: 0,
    timeout: Math.max(timeoutMs, UPLOAD_TIMEOUT),
    makeRequest: (url, init) => {
      const hasFiles = typeof init.body === "object" && init.body !== null;
      const limit = hasFiles ? [] : [AbortSignal.timeout(timeoutMs)];
      const signal = AbortSignal.any([...limit, ...(init.signal ? [init.signal] : [])]);
      return DefaultRestOptions.makeRequest(url, { ...init, signal });
    },
    ...(apiUrl === undefined ? {} : { api: apiUrl }),
  };
}

/** A rest manager for answers to interactions: they have no part in the limit over all routes (documented). */
export function makeAnswersRest(apiUrl: string | undefined, timeoutMs?: Millis): REST {
  return new REST({
    ...restOptions(apiUrl, timeoutMs),
    globalRequestsPerSecond: Number.POSITIVE_INFINITY,
  });
}

/** A client with the least intents: servers and their channels, and what is written to it alone; no members. */
export function makeClient(options: ConnectionOptions): Client {
  const { token, apiUrl, log, say, timeoutMs } = options;
  const client = new Client({
    intents: [GatewayIntentBits.Guilds, GatewayIntentBits.DirectMessages],
    // Nothing of what others write is kept.
    makeCache: Options.cacheWithLimits({
      ...Options.DefaultMakeCacheSettings,
      MessageManager: 0,
      GuildMemberManager: { maxSize: 1, keepOverLimit: (member) => member.id === member.client.user.id },
      UserManager: { maxSize: 1, keepOverLimit: (user) => user.id === user.client.user.id },
    }),
    rest: restOptions(apiUrl, timeoutMs),
  });
  client.rest.setToken(token);
  watch(client, log, say);
  return client;
}

export interface Patience {
  /** Real time. */
  readonly clock: Clock;
  /** Told once when the connection does not open for long; the client goes on trying by itself. */
  readonly onSlow: (reason: GatewaySilent) => void;
  /** Ends the waiting. */
  readonly leave: AbortSignal;
}

/**
 * Logs in and resolves when every server is known, however long that takes.
 * @throws {Refusal} code "discord-token" when the token is wrong: nothing but a new one helps
 * @throws whatever the API throws when it cannot be reached; the reason of `leave`
 */
export async function logIn(client: Client, token: string, patience: Patience): Promise<Client<true>> {
  const { clock, onSlow, leave } = patience;
  const ready = new Promise<Client<true>>((done) => client.once(Events.ClientReady, done));
  const refused = new Promise<never>((_, fail) => {
    client.once(Events.ShardDisconnect, ({ code }) => fail(closeRefusal(code)));
    client.once(Events.ShardError, (error) => {
      if (/Authentication failed/.test(error.message)) fail(closeRefusal(4004));
    });
    leave.addEventListener("abort", () => fail(leave.reason));
  });
  const login = client.login(token);
  for (const end of [refused, login]) end.catch(() => {});
  const callOff = clock.at(clock.now() + LONG_LOGIN, () => onSlow(new GatewaySilent()));
  try {
    leave.throwIfAborted();
    await Promise.race([login, refused]);
    return await Promise.race([ready, refused]);
  } catch (error) {
    const fault = explain(error);
    if (fault.kind === "token") throw new Refusal("discord-token", fault.sentence, { cause: error });
    throw error;
  } finally {
    callOff();
  }
}

/** Interactions as they arrive, in the API's own form. */
export function onInteraction(client: Client, take: (interaction: APIInteraction) => void): void {
  client.ws.on(GatewayDispatchEvents.InteractionCreate, take);
}

/** Messages as they arrive, in the API's own form: with our intents only those that are written to the bot alone. */
export function onDirectMessage(
  client: Client,
  take: (message: GatewayMessageCreateDispatchData) => void,
): void {
  client.ws.on(GatewayDispatchEvents.MessageCreate, take);
}

function closeRefusal(code: number): Refusal {
  const sentence =
    explainClose(code) ?? `Discord closed the connection for good (${code}): start Nightslate again.`;
  return new Refusal("discord-token", sentence);
}

function watch(client: Client, log: Log, say: (line: string) => void): void {
  client.on(Events.Error, (error) =>
    log.warn({ code: explain(error).code }, "the Discord client reported an error"),
  );
  client.on(Events.ShardError, (error) =>
    log.warn({ code: explain(error).code }, "the Discord gateway failed"),
  );
  let attempts = 0;
  client.on(Events.ShardReconnecting, () => {
    // Twice a second while a firewall refuses: the log need not hold them all.
    if (attempts++ % LOGGED_ATTEMPTS === 0) log.info({ attempts }, "the Discord gateway reconnects");
  });
  client.on(Events.ShardResume, (_shard, replayed) => {
    attempts = 0;
    log.info({ replayed }, "the Discord gateway resumed");
  });
  client.on(Events.ShardReady, () => {
    attempts = 0;
    log.info({}, "the Discord gateway is ready");
  });
  client.on(Events.ShardDisconnect, ({ code }) => {
    const sentence = explainClose(code);
    log.error({ code }, sentence ?? "the Discord gateway closed for good");
    if (sentence !== null) say(`Discord: ${sentence}`);
  });
}
