/** The HTTP API v10: the routes that Nightslate uses, over real TCP. */

import type { APIInteractionResponse } from "discord-api-types/v10";
import Fastify, { type FastifyInstance, type FastifyReply, type FastifyRequest } from "fastify";
import type { Millis } from "../../src/base/units.js";
import { ApiError, invalidForm, notFound, unauthorized, unknownMember, unknownUser } from "./api-error.js";
import type { Commands } from "./command-rules.js";
import type { Fault, Faults } from "./faults.js";
import type { Interactions } from "./interactions.js";
import type { MessageBody, UploadedFile } from "./message-rules.js";
import type { Messages } from "./messages.js";
import type { RateLimits } from "./rate-limits.js";
import { apiChannel, apiGuild, apiMember } from "./shapes.js";
import type { World } from "./world.js";

export interface ApiParts {
  readonly world: World;
  readonly messages: Messages;
  readonly commands: Commands;
  readonly interactions: Interactions;
  readonly faults: Faults;
  readonly limits: RateLimits | null;
  readonly gatewayUrl: () => string;
  /** Every request that arrived, "POST /channels/1/messages". */
  readonly log: string[];
  /** Added to each answer, as a network would. */
  readonly latencyMs: Millis;
}

interface Incoming {
  readonly method: string;
  readonly path: string;
  readonly parts: readonly string[];
  readonly query: Record<string, string>;
  readonly json: unknown;
  readonly files: readonly UploadedFile[];
}

/** Serves the API under /api/v10. */
export function httpApi(api: ApiParts): FastifyInstance {
  const server = Fastify({ bodyLimit: 600 * 1024 * 1024, forceCloseConnections: true });
  server.removeAllContentTypeParsers();
  server.addContentTypeParser("*", { parseAs: "buffer" }, (_request, body, done) => done(null, body));
  server.all("/api/v10/*", (request, reply) => handle(api, request, reply));
  return server;
}

async function handle(api: ApiParts, request: FastifyRequest, reply: FastifyReply): Promise<unknown> {
  const path = request.url.slice("/api/v10".length).split("?")[0] as string;
  const { method } = request;
  api.log.push(`${method} ${path}`);
  if (await meet(api.faults.next("before", method, path), request, reply)) return reply;
  const allowance = api.limits?.ask(method, path) ?? { allowed: true, headers: {} };
  reply.headers(allowance.headers);
  if (!allowance.allowed)
    return tooMany(reply, Math.ceil(allowance.retryAfterSeconds * 1000) / 1000, allowance.global);
  const answer = await effect(api, request, path);
  if (api.latencyMs > 0) await new Promise((done) => setTimeout(done, api.latencyMs));
  if (await meet(api.faults.next("after", method, path), request, reply)) return reply;
  reply.code(answer.status);
  return answer.body === undefined ? reply.send() : reply.send(answer.body);
}

async function effect(
  api: ApiParts,
  request: FastifyRequest,
  path: string,
): Promise<{ status: number; body?: unknown }> {
  try {
    const needsToken = !/^\/(interactions|webhooks)\//.test(path);
    if (needsToken && request.headers.authorization !== `Bot ${api.world.token}`) throw unauthorized();
    const body = await readBody(request);
    const incoming: Incoming = {
      method: request.method,
      path,
      parts: path.split("/").slice(1),
      query: request.query as Record<string, string>,
      ...body,
    };
    const answered = route(api, incoming);
    return answered === undefined ? { status: 204 } : { status: 200, body: answered };
  } catch (error) {
    if (error instanceof ApiError) return { status: error.status, body: error.body() };
    throw error;
  }
}

/** Carries out a planted fault. True when the request needs no further answer. */
async function meet(fault: Fault | null, request: FastifyRequest, reply: FastifyReply): Promise<boolean> {
  if (fault === null) return false;
  switch (fault.do) {
    case "reset":
      reply.hijack();
      request.raw.socket.resetAndDestroy();
      return true;
    case "close":
      reply.hijack();
      request.raw.socket.end();
      return true;
    case "stall":
      reply.hijack();
      return true;
    case "status":
      reply.code(fault.status).send({ message: `${fault.status}: planted`, code: 0 });
      return true;
    case "rate-limit":
      if (fault.global) reply.header("x-ratelimit-global", "true");
      tooMany(reply, fault.retryAfterSeconds, fault.global ?? false);
      return true;
    case "tell":
      await fault.tell();
      return false;
  }
}

function tooMany(reply: FastifyReply, retryAfterSeconds: number, global: boolean): FastifyReply {
  return reply
    .code(429)
    .header("retry-after", String(retryAfterSeconds))
    .send({ message: "You are being rate limited.", retry_after: retryAfterSeconds, global });
}

async function readBody(request: FastifyRequest): Promise<{ json: unknown; files: UploadedFile[] }> {
  const raw = request.body as Buffer | null | undefined;
  const type = request.headers["content-type"] ?? "";
  if (!raw || raw.length === 0) return { json: undefined, files: [] };
  if (type.startsWith("application/json")) return { json: parse(raw.toString("utf8")), files: [] };
  if (!type.startsWith("multipart/form-data")) throw invalidForm("content-type", type);
  const form = await new Response(new Uint8Array(raw), { headers: { "content-type": type } }).formData();
  const files: UploadedFile[] = [];
  let json: unknown = {};
  for (const [name, value] of form) {
    const index = /^files\[(\d+)\]$/.exec(name)?.[1];
    if (name === "payload_json") json = parse(String(value));
    else if (index !== undefined && typeof value !== "string")
      files.push({ id: index, filename: value.name, bytes: new Uint8Array(await value.arrayBuffer()) });
  }
  return { json, files };
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    throw new ApiError(400, 50109, "The request body contains invalid JSON.");
  }
}

/** Finds what a path means; undefined answers 204. */
function route(api: ApiParts, incoming: Incoming): unknown {
  const { parts, method } = incoming;
  switch (parts[0]) {
    case "gateway":
      return gateway(api);
    case "users":
      return users(api, incoming);
    case "applications":
      return applications(api, incoming);
    case "oauth2":
      return { id: api.world.applicationId, name: "Nightslate" };
    case "guilds":
      return guilds(api, incoming);
    case "channels":
      return channels(api, incoming);
    case "interactions":
      if (method === "POST" && parts[3] === "callback")
        return api.interactions.answer(
          parts[1] as string,
          parts[2] as string,
          incoming.json as APIInteractionResponse,
          incoming.files,
        );
      throw notFound();
    case "webhooks":
      return webhooks(api, incoming);
    default:
      throw notFound();
  }
}

function gateway(api: ApiParts): object {
  return {
    url: api.gatewayUrl(),
    shards: 1,
    session_start_limit: { total: 1000, remaining: 999, reset_after: 86_400_000, max_concurrency: 1 },
  };
}

function users(api: ApiParts, { method, parts, json }: Incoming): unknown {
  if (method === "GET" && parts[1] === "@me") return api.world.bot;
  if (method === "POST" && parts[1] === "@me" && parts[2] === "channels") {
    const recipient = (json as { recipient_id?: string }).recipient_id ?? "";
    if (!api.world.users.has(recipient)) throw unknownUser();
    return apiChannel(api.world.directChannel(recipient));
  }
  throw notFound();
}

function applications(api: ApiParts, { method, parts, json }: Incoming): unknown {
  if (method === "GET" && parts[1] === "@me")
    return { id: api.world.applicationId, name: "Nightslate", bot_public: true, flags: 0 };
  if (parts[1] !== api.world.applicationId || parts[2] !== "guilds" || parts[4] !== "commands")
    throw notFound();
  if (method === "GET") return api.commands.list(parts[3] as string);
  if (method === "PUT") return api.commands.replace(parts[3] as string, json as never);
  throw notFound();
}

function guilds(api: ApiParts, { method, parts }: Incoming): unknown {
  if (method !== "GET") throw notFound();
  const guild = api.commands.guild(parts[1] as string);
  if (parts.length === 2) return apiGuild(api.world, guild);
  if (parts[2] === "roles") return [...guild.roles.values()];
  if (parts[2] === "channels") return guild.channelIds.map((id) => apiChannel(api.messages.channel(id)));
  if (parts[2] === "members") {
    const member = guild.members.get(parts[3] === "@me" ? api.world.bot.id : (parts[3] as string));
    if (!member) throw unknownMember();
    return apiMember(api.world, guild, member);
  }
  throw notFound();
}

function channels(api: ApiParts, { method, parts, query, json, files }: Incoming): unknown {
  const channelId = parts[1] as string;
  if (parts.length === 2 && method === "GET") return apiChannel(api.messages.channel(channelId));
  if (parts[2] !== "messages") throw notFound();
  const body = (json ?? {}) as MessageBody;
  if (parts.length === 3 && method === "POST")
    return api.messages.toApi(api.messages.post(channelId, body, files));
  if (parts.length === 3 && method === "GET")
    return api.messages.history(channelId, query).map((each) => api.messages.toApi(each));
  const messageId = parts[3] as string;
  if (method === "GET") return api.messages.toApi(api.messages.find(channelId, messageId));
  if (method === "PATCH") return api.messages.toApi(api.messages.edit(channelId, messageId, body, files));
  if (method === "DELETE") return api.messages.remove(channelId, messageId);
  throw notFound();
}

function webhooks(api: ApiParts, { method, parts, json, files }: Incoming): unknown {
  const token = parts[2] as string;
  const body = (json ?? {}) as MessageBody;
  if (parts.length === 3 && method === "POST")
    return api.messages.toApi(api.interactions.followUp(token, body, files));
  const messageId = parts[4] ?? "";
  if (method === "GET") return api.messages.toApi(api.interactions.original(token));
  if (method === "PATCH") return api.messages.toApi(api.interactions.edit(token, messageId, body, files));
  throw notFound();
}
