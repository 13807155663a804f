/** The room's web server: the page, coming in, frames and handouts. */
import { createReadStream } from "node:fs";
import helmet from "@fastify/helmet";
import rateLimit from "@fastify/rate-limit";
import Fastify, { type FastifyInstance, type FastifyReply, type FastifyRequest } from "fastify";
import { addEntry, type EntryParts } from "../door/web-entry.js";
import { isOwnHost, isSameOrigin } from "./addresses.js";
import { frameFile } from "./frame-files.js";
import type { PageFile, PageFiles } from "./page-files.js";
import { addUploads } from "./uploads.js";

export interface WebParts extends EntryParts {
  readonly page: PageFiles;
}

/** Requests of one address in a minute: a class behind one address loads the page and its pictures. */
const REQUESTS_A_MINUTE = 12_000;

/** A frame on a slow line takes its time; whoever only holds a connection open is let go. */
const LONGEST_REQUEST_MS = 180_000;

/** Builds the server; the caller lets it listen. */
export async function buildWeb(parts: WebParts): Promise<FastifyInstance> {
  const web = Fastify({ bodyLimit: 4_096, requestTimeout: LONGEST_REQUEST_MS, keepAliveTimeout: 30_000 });
  await web.register(helmet, securityHeaders());
  await web.register(rateLimit, { max: REQUESTS_A_MINUTE, timeWindow: 60_000 });
  web.addHook("onRequest", async (request, reply) => {
    if (!isOwnHost(request.headers.host, parts.hostNames)) {
      return reply.code(421).send({ problem: "This server is not known by that name." });
    }
    if (request.method !== "GET" && !isSameOrigin(request.headers.origin, request.headers.host)) {
      return reply.code(403).send({ problem: "Only the room's own page may do this." });
    }
  });
  web.setErrorHandler((error, _request, reply) => {
    const status = (error as { statusCode?: number }).statusCode ?? 500;
    if (status >= 500)
      parts.host.log.error({ reason: (error as Error).message }, "the room failed to answer");
    const problem = status === 429 ? "Too many requests: wait a minute." : "That could not be read.";
    return reply.code(status).send({ problem: status >= 500 ? "Something went wrong: try again." : problem });
  });
  web.setNotFoundHandler((_request, reply) => reply.code(404).send({ problem: "There is nothing here." }));
  addPage(web, parts);
  addEntry(web, parts);
  addFiles(web, parts);
  addUploads(web, parts);
  return web;
}

function securityHeaders(): Parameters<typeof helmet>[1] & object {
  return {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'"],
        imgSrc: ["'self'"],
        // Some browsers do not count a socket of the same server as 'self'.
        connectSrc: ["'self'", (request) => `ws://${request.headers.host}`],
        formAction: ["'self'"],
        frameAncestors: ["'none'"],
        baseUri: ["'none'"],
      },
    },
    strictTransportSecurity: false,
    crossOriginOpenerPolicy: false,
    originAgentCluster: false,
    referrerPolicy: { policy: "no-referrer" },
  };
}

function addPage(web: FastifyInstance, { page, tokens }: WebParts): void {
  for (const path of ["/", "/wall"]) {
    web.get(path, (request, reply) => {
      const { cookie } = request.headers;
      const isMember = tokens.personOf(cookie) !== null;
      const renewed = tokens.renewed(cookie);
      if (renewed !== null) reply.header("set-cookie", renewed);
      return sendPage(isMember ? page.indexForMember : page.index, "no-cache", request, reply);
    });
  }
  web.get<{ Params: { version: string; name: string } }>("/page/:version/:name", (request, reply) => {
    const { version, name } = request.params;
    const file = page.files.get(name);
    // A page that was loaded before the server changed gets the present files, not for keeps.
    const keep = version === page.version ? "public, max-age=31536000, immutable" : "no-cache";
    return file ? sendPage(file, keep, request, reply) : reply.callNotFound();
  });
}

function sendPage(file: PageFile, keep: string, request: FastifyRequest, reply: FastifyReply): FastifyReply {
  reply.header("etag", file.etag).header("cache-control", keep).header("vary", "accept-encoding, cookie");
  if (request.headers["if-none-match"] === file.etag) return reply.code(304).send();
  const accepts = String(request.headers["accept-encoding"] ?? "");
  reply.type(file.mediaType);
  if (/\bbr\b/.test(accepts)) return reply.header("content-encoding", "br").send(file.brotli);
  if (/\bgzip\b/.test(accepts)) return reply.header("content-encoding", "gzip").send(file.gzip);
  return reply.send(file.plain);
}

function addFiles(web: FastifyInstance, { host, tokens, handouts }: WebParts): void {
  const noMember = { problem: "Join the class first." };
  web.get<{ Params: { number: string; file: string } }>(
    "/frame/:number(^\\d{1,9}$)/:file(^\\d{1,6}\\.(?:png|fits)$)",
    async (request, reply) => {
      const reader = tokens.personOf(request.headers.cookie);
      if (!reader) return reply.code(401).send(noMember);
      const [index, extension] = request.params.file.split(".");
      const wanted = {
        number: Number(request.params.number),
        index: Number(index),
        kind: extension === "png" ? ("preview" as const) : ("full" as const),
      };
      const file = await frameFile(host.services.desk.state, reader, host.dataFolder, wanted);
      if (!file) return reply.callNotFound();
      reply.header("content-length", file.bytes).header("cache-control", "private, max-age=86400");
      if (wanted.kind === "full") reply.header("content-disposition", attachmentNamed(file.fileName));
      reply.type(wanted.kind === "preview" ? "image/png" : "application/fits");
      return reply.send(createReadStream(file.path));
    },
  );
  web.get<{ Params: { key: string } }>("/handout/:key", (request, reply) => {
    const reader = tokens.personOf(request.headers.cookie);
    if (!reader) return reply.code(401).send(noMember);
    const found = handouts.get(request.params.key, reader.id);
    if (!found) return reply.callNotFound();
    reply.type(found.mediaType).header("cache-control", "private, max-age=3600");
    if (!found.mediaType.startsWith("image/")) {
      reply.header("content-disposition", attachmentNamed(found.fileName));
    }
    return reply.send(found.content);
  });
}

function attachmentNamed(fileName: string): string {
  return `attachment; filename="${fileName.replace(/[^\w.+-]/g, "_")}"`;
}
