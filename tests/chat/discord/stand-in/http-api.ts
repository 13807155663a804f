/** The HTTP API v10 over real TCP: token, rate limits, planted faults; routes.ts knows what each path means. */
import Fastify, { type FastifyInstance, type FastifyReply, type FastifyRequest } from "fastify";
import type { Millis } from "../../../../src/base/units.js";
import { ApiError, invalidForm, unauthorized } from "./api-error.js";
import type { Fault, Faults } from "./faults.js";
import type { UploadedFile } from "./message-rules.js";
import type { RateLimits } from "./rate-limits.js";
import { type Incoming, type RouteParts, route } from "./routes.js";

export interface ApiParts extends RouteParts {
  readonly faults: Faults;
  readonly limits: RateLimits | null;
  /** Every request that arrived, "POST /channels/1/messages". */
  readonly log: string[];
  /** Added to each answer, as a network would. */
  readonly latencyMs: Millis;
}

/** Serves the API under /api/v10. */
export function httpApi(api: ApiParts): FastifyInstance {
  const server = Fastify({ bodyLimit: 600 * 1024 * 1024, forceCloseConnections: true });
  server.removeAllContentTypeParsers();
  server.addContentTypeParser("*", { parseAs: "buffer" }, (_request, body, done) => done(null, body));
  server.all("/api/v10/*", (request, reply) => handle(api, request, reply));
  server.get<{ Params: { "*": string } }>("/ephemeral-attachments/*", (request, reply) => {
    const found = api.world.files.get(decodeURIComponent(request.params["*"]));
    return found
      ? reply.send(Buffer.from(found))
      : reply.code(404).send("This content is no longer available.");
  });
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
      else reply.header("x-ratelimit-bucket", "planted");
      reply.header("x-ratelimit-scope", fault.global ? "global" : "user");
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
