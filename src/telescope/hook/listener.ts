/** The hook's HTTP server: lets in what is signed, reads it, has it dealt with, and signs every answer. */
import type { Hmac } from "node:crypto";
import { type Readable, Transform } from "node:stream";
import Fastify, { type FastifyInstance, type FastifyReply, type FastifyRequest } from "fastify";
import type { Clock } from "../../base/clock.js";
import type { Log } from "../../base/log.js";
import { Refusal } from "../../base/refusal.js";
import { SECOND } from "../../base/units.js";
import { readForm } from "./form.js";
import { Guard, type SignedHead } from "./guard.js";
import {
  type EventAnswer,
  eventSchema,
  type HookEvent,
  hookJsonSchema,
  type NextAnswer,
} from "./messages.js";
import { answerSignature, SIGNATURE_HEADER, TIME_HEADER } from "./signature.js";

/** What is said over the hook, dealt with. */
export interface Conversation {
  next(): NextAnswer;
  /**
   * @param frame the FITS file that was sent along; null for none
   * @returns with the HTTP status that goes with it
   * @throws {Refusal} code "not-stored" or "closing": it is to be sent again
   */
  hear(event: HookEvent, frame: Uint8Array | null): Promise<{ status: number; answer: EventAnswer }>;
}

export interface ListenerParts {
  readonly secret: string;
  readonly clock: Pick<Clock, "now">;
  readonly log: Log;
  readonly conversation: Conversation;
  /** Of a frame that is sent along, bytes. */
  readonly largestFrame: number;
}

declare module "fastify" {
  interface FastifyRequest {
    signedHead: SignedHead;
    /** Of the body as it comes. */
    signature: Hmac;
  }
}

/** No event is longer, the frame that comes with it apart. */
const MOST_EVENT_BYTES = 64_000;
/** A frame on a slow line takes its time; whoever only holds a connection open is let go. */
const LONGEST_REQUEST_MS = 120 * SECOND;
const MOST_CONNECTIONS = 32;
/** Frames are in memory while they are read. */
const MOST_FRAMES_AT_A_TIME = 2;
const FORM = "multipart/form-data";

const STATUSES: Readonly<Record<string, number>> = {
  unsigned: 401,
  untimely: 401,
  forged: 401,
  replayed: 401,
  "no-event": 400,
  "no-form": 400,
  "too-many": 503,
  "not-stored": 503,
  closing: 503,
};

/** Builds the server; the caller lets it listen. */
export function buildListener(parts: ListenerParts): FastifyInstance {
  const { conversation, largestFrame } = parts;
  const web = Fastify({
    bodyLimit: MOST_EVENT_BYTES,
    requestTimeout: LONGEST_REQUEST_MS,
    exposeHeadRoutes: false,
    forceCloseConnections: true,
    frameworkErrors: (_error, _request, reply: FastifyReply) =>
      void reply.code(400).send(refused("This address cannot be read.")),
  });
  web.server.maxConnections = MOST_CONNECTIONS;
  addGuard(web, new Guard(parts.secret, parts.clock));
  addBodies(web, largestFrame);
  signAnswers(web, parts);
  answerErrors(web, parts.log);
  web.get("/telescope/next", () => conversation.next());
  web.get("/telescope/schema", () => hookJsonSchema());
  web.post("/telescope/events", async (request: FastifyRequest, reply: FastifyReply) => {
    const bytes = (request.body as Buffer<ArrayBuffer> | undefined) ?? Buffer.alloc(0);
    const { event, frame } = isForm(request)
      ? await readForm(bytes, String(request.headers["content-type"]))
      : { event: bytes.toString(), frame: null };
    const { status, answer } = await conversation.hear(readEvent(event), frame);
    return reply.code(status).send(answer);
  });
  return web;
}

/** Heads are looked at before bodies are read, and bodies before they are taken apart. */
function addGuard(web: FastifyInstance, guard: Guard): void {
  web.decorateRequest("signedHead");
  web.decorateRequest("signature");
  web.addHook("onRequest", async (request) => {
    const { method, headers, raw } = request;
    request.signedHead = guard.admit(
      method,
      String(raw.url),
      headers[TIME_HEADER],
      headers[SIGNATURE_HEADER],
    );
    request.signature = guard.begin(request.signedHead);
  });
  web.addHook("preParsing", async ({ signature }, _reply, payload) => signing(payload, signature));
  web.addHook("preHandler", async ({ signedHead, signature }) => guard.verify(signedHead, signature));
}

/** Passes a body on, a piece at a time, so that a large one stops nobody else. */
function signing(payload: Readable, signature: Hmac): Readable & { receivedEncodedLength: number } {
  const passed = Object.assign(
    new Transform({
      transform(piece: Buffer, _encoding, done) {
        passed.receivedEncodedLength += piece.length;
        signature.update(piece);
        done(null, piece);
      },
    }),
    { receivedEncodedLength: 0 },
  );
  payload.on("error", (error) => passed.destroy(error));
  return payload.pipe(passed);
}

function addBodies(web: FastifyInstance, largestFrame: number): void {
  const bytes = async (_request: FastifyRequest, body: Buffer): Promise<Buffer> => body;
  web.removeAllContentTypeParsers();
  web.addContentTypeParser("application/json", { parseAs: "buffer" }, bytes);
  web.addContentTypeParser(FORM, { parseAs: "buffer", bodyLimit: largestFrame + MOST_EVENT_BYTES }, bytes);
  const frames = new Set<string>();
  web.addHook("onRequest", async (request) => {
    if (!isForm(request)) return;
    if (frames.size >= MOST_FRAMES_AT_A_TIME)
      throw new Refusal(
        "too-many",
        `${frames.size} frames are on their way already: send it again in a while.`,
      );
    frames.add(request.id);
  });
  web.addHook("onResponse", async ({ id }) => void frames.delete(id));
  web.addHook("onRequestAbort", async ({ id }) => void frames.delete(id));
}

function isForm({ headers }: FastifyRequest): boolean {
  return headers["content-type"]?.startsWith(FORM) === true;
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
      return reply
        .code(413)
        .send(
          refused(
            `This is too large: an event has ${MOST_EVENT_BYTES} bytes at most, and larger frames than telescope.hook.largestFrameMegabytes go through telescope.hook.framesFolder.`,
          ),
        );
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
