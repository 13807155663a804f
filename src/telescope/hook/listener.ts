/** The hook's HTTP server: lets in what is signed, reads it, has it dealt with, and signs every answer. */
import { rm } from "node:fs/promises";
import type { Readable } from "node:stream";
import Fastify, { type FastifyInstance, type FastifyReply, type FastifyRequest } from "fastify";
import type { Clock } from "../../base/clock.js";
import type { Log } from "../../base/log.js";
import { Refusal } from "../../base/refusal.js";
import { SECOND } from "../../base/units.js";
import { Guard, type SignedHead } from "./guard.js";
import {
  type EventAnswer,
  eventSchema,
  type HookEvent,
  hookJsonSchema,
  type NextAnswer,
} from "./messages.js";
import { answerSignature, SIGNATURE_HEADER, TIME_HEADER } from "./signature.js";
import { Uploads } from "./upload.js";

/** What is said over the hook, dealt with. */
export interface Conversation {
  next(): NextAnswer;
  /**
   * @param framePath the frame that was sent along, there until this resolves; null for none
   * @returns with the HTTP status that goes with it
   * @throws {Refusal} code "not-stored" or "closing": it is to be sent again
   */
  hear(event: HookEvent, framePath: string | null): Promise<{ status: number; answer: EventAnswer }>;
}

export interface ListenerParts {
  readonly secret: string;
  readonly clock: Pick<Clock, "now">;
  readonly log: Log;
  readonly conversation: Conversation;
  /** For frames on their way. */
  readonly uploadFolder: string;
  readonly mostUploadBytes: number;
}

/** A message's body as it was received and verified. */
type Received = { readonly bytes: Buffer } | { readonly path: string };

declare module "fastify" {
  interface FastifyRequest {
    signedHead: SignedHead;
  }
}

/** No event is longer, the frame that comes with it apart. */
const MOST_EVENT_BYTES = 64_000;
/** A frame on a slow line takes its time; whoever only holds a connection open is let go. */
const LONGEST_REQUEST_MS = 120 * SECOND;
const MOST_CONNECTIONS = 32;

const STATUSES: Readonly<Record<string, number>> = {
  unsigned: 401,
  untimely: 401,
  forged: 401,
  replayed: 401,
  "too-large": 413,
  "no-event": 400,
  "no-form": 400,
  "too-many": 503,
  "not-stored": 503,
  closing: 503,
};

/** Builds the server; the caller lets it listen. */
export function buildListener(parts: ListenerParts): FastifyInstance {
  const { conversation, uploadFolder, mostUploadBytes } = parts;
  const web = Fastify({
    bodyLimit: MOST_EVENT_BYTES,
    requestTimeout: LONGEST_REQUEST_MS,
    exposeHeadRoutes: false,
    forceCloseConnections: true,
    frameworkErrors: (_error, _request, reply: FastifyReply) =>
      void reply.code(400).send(refused("This address cannot be read.")),
  });
  web.server.maxConnections = MOST_CONNECTIONS;
  const uploads = new Uploads(uploadFolder, mostUploadBytes);
  const guard = new Guard(parts.secret, parts.clock);
  addGuard(web, guard);
  addBodies(web, guard, uploads);
  signAnswers(web, parts);
  answerErrors(web, parts.log);
  web.get("/telescope/next", () => conversation.next());
  web.get("/telescope/schema", () => hookJsonSchema());
  web.post("/telescope/events", async (request: FastifyRequest, reply: FastifyReply) => {
    const body = request.body as Received | undefined;
    const { status, answer } =
      body && "path" in body
        ? await hearForm(body.path, String(request.headers["content-type"]), uploads, conversation)
        : await conversation.hear(readEvent(body?.bytes.toString() ?? ""), null);
    return reply.code(status).send(answer);
  });
  return web;
}

/** Heads are looked at before bodies are read, and bodies before anything is done. */
function addGuard(web: FastifyInstance, guard: Guard): void {
  web.decorateRequest("signedHead");
  web.addHook("onRequest", async (request) => {
    const { method, headers, raw } = request;
    request.signedHead = guard.admit(
      method,
      String(raw.url),
      headers[TIME_HEADER],
      headers[SIGNATURE_HEADER],
    );
  });
  web.addHook("preHandler", async ({ signedHead, body }) => {
    if (body === undefined) guard.verify(signedHead, guard.begin(signedHead));
  });
}

/** Each is verified as soon as it is read. */
function addBodies(web: FastifyInstance, guard: Guard, uploads: Uploads): void {
  web.removeAllContentTypeParsers();
  web.addContentTypeParser(
    "application/json",
    { parseAs: "buffer" },
    async ({ signedHead }: FastifyRequest, bytes: Buffer): Promise<Received> => {
      guard.verify(signedHead, guard.begin(signedHead).update(bytes));
      return { bytes };
    },
  );
  web.addContentTypeParser(
    "multipart/form-data",
    async ({ signedHead }: FastifyRequest, payload: Readable): Promise<Received> => {
      const signature = guard.begin(signedHead);
      const path = await uploads.receive(payload, (piece) => signature.update(piece));
      try {
        guard.verify(signedHead, signature);
      } catch (error) {
        await rm(path, { force: true });
        throw error;
      }
      return { path };
    },
  );
}

async function hearForm(path: string, contentType: string, uploads: Uploads, conversation: Conversation) {
  const form = await uploads.open(path, contentType).finally(() => rm(path, { force: true }));
  try {
    return await conversation.hear(readEvent(form.event), form.framePath);
  } finally {
    await rm(form.framePath, { force: true });
  }
}

/** @throws {Refusal} code "no-event", naming the first key at fault */
function readEvent(text: string): HookEvent {
  const checked = eventSchema.safeParse(readJson(text));
  if (checked.success) return checked.data;
  const [fault] = checked.error.issues;
  const where = fault?.path.join(".") || "the event";
  throw new Refusal("no-event", `This event cannot be used: ${where}: ${fault?.message}.`);
}

function readJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch (error) {
    throw new Refusal("no-event", "This is not valid JSON: send one event as an object.", { cause: error });
  }
}

function signAnswers(web: FastifyInstance, { secret, clock }: ListenerParts): void {
  web.addHook("onSend", async ({ headers }, reply, payload) => {
    const time = (clock.now() / SECOND).toFixed(3);
    const given = headers[SIGNATURE_HEADER];
    const requestSignature = typeof given === "string" && /^[0-9a-f]{64}$/.test(given) ? given : "";
    const head = { requestSignature, status: reply.statusCode, time };
    reply.header("cache-control", "no-store").header(TIME_HEADER, time);
    reply.header(SIGNATURE_HEADER, answerSignature(secret, head, (payload ?? "") as string | Buffer));
  });
}

function answerErrors(web: FastifyInstance, log: Log): void {
  web.setNotFoundHandler((_request, reply) =>
    reply
      .code(404)
      .send(refused("There is nothing here: ask GET /telescope/next or POST /telescope/events.")),
  );
  web.setErrorHandler((error: Error & { statusCode?: number; code?: string }, _request, reply) => {
    const status = STATUSES[error.code ?? ""] ?? error.statusCode ?? 500;
    if (error instanceof Refusal) return reply.code(status).send(refused(error.message));
    if (status === 413)
      return reply.code(413).send(refused(`An event has ${MOST_EVENT_BYTES} bytes at most.`));
    if (status === 415)
      return reply.code(415).send(refused("Send application/json, or multipart/form-data with a frame."));
    if (status < 500) return reply.code(status).send(refused("This could not be read."));
    log.error({ reason: error.message }, "the telescope's hook failed to answer");
    return reply.code(500).send(refused("Something went wrong here: send it again."));
  });
}

function refused(said: string): EventAnswer {
  return { outcome: "refused", said, request: null, next: null };
}
