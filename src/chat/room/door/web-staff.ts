/** What an instructor's page does for people, over HTTP. */
import type { FastifyInstance, FastifyReply, FastifyRequest } from "fastify";
import { z } from "zod";
import type { Asker } from "../../../commands/command.js";
import type { StaffDesk } from "./staff-desk.js";
import type { Tokens } from "./tokens.js";
import { orRefusal } from "./web-entry.js";

export interface StaffParts {
  readonly staffDesk: StaffDesk;
  readonly tokens: Tokens;
}

const personForm = z.strictObject({ id: z.string().min(1).max(100) });

export function addStaffDesk(web: FastifyInstance, { staffDesk, tokens }: StaffParts): void {
  const answer = (
    request: FastifyRequest,
    reply: FastifyReply,
    make: (by: Asker, id: string) => object | Promise<object>,
  ): FastifyReply | Promise<FastifyReply> => {
    const by = tokens.personOf(request.headers.cookie);
    if (!by) return reply.code(401).send({ problem: "Join the class first." });
    const form = request.method === "GET" ? null : personForm.safeParse(request.body);
    if (form?.success === false) return reply.code(400).send({ problem: "Choose a name from the list." });
    reply.header("cache-control", "no-store");
    return orRefusal(reply, () => make(by, form?.data.id ?? ""));
  };
  web.get("/people", (request, reply) => answer(request, reply, (by) => ({ people: staffDesk.people(by) })));
  web.post("/let-back", (request, reply) => answer(request, reply, (by, id) => staffDesk.letBack(by, id)));
  web.post("/demote", (request, reply) => answer(request, reply, (by, id) => staffDesk.demote(by, id)));
}
