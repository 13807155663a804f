/** Coming in, becoming staff, leaving, and what an instructor does for people, over HTTP. */
import type { FastifyInstance, FastifyReply, FastifyRequest } from "fastify";
import { z } from "zod";
import { Refusal } from "../../../base/refusal.js";
import type { Asker } from "../../../commands/command.js";
import { classOf } from "../../../commands/people/people.js";
import type { RoomParts } from "../parts.js";
import type { Door } from "./join.js";
import type { StaffDesk } from "./staff-desk.js";

export interface EntryParts extends RoomParts {
  readonly door: Door;
  readonly staffDesk: StaffDesk;
}

const codeForm = z.strictObject({ code: z.string().max(60) });
const joinForm = z.strictObject({
  code: z.string().max(60),
  name: z.string().max(200),
  group: z.string().max(60).nullable(),
  pass: z.string().max(60).nullable(),
});
const personForm = z.strictObject({ id: z.string().min(1).max(100) });
const passForm = z.strictObject({ pass: z.string().min(1).max(60) });

/** Adds what the door, the foot of the page and an instructor's list of people send. A stranger without a code learns the site's name alone. */
export function addEntry(web: FastifyInstance, parts: EntryParts): void {
  const { host, classId, door, tokens } = parts;
  const { config, desk } = host.services;
  const holderOf = (request: FastifyRequest): Asker | null => tokens.personOf(request.headers.cookie);
  web.get("/entry", (request, reply) => {
    const me = holderOf(request);
    return reply.header("cache-control", "no-store").send({
      site: config.observatory.site.name,
      me: me?.name ?? null,
      role: me?.role ?? null,
    });
  });
  web.post("/code", (request, reply) => {
    const form = codeForm.safeParse(request.body);
    if (!form.success) return reply.code(400).send({ problem: "Type the class code." });
    return orRefusal(reply, () => ({
      groups: door.groups(form.data.code, request.ip, holderOf(request)),
      className: classOf(config, classId)?.name ?? classId,
    }));
  });
  web.post("/join", (request, reply) => {
    const form = joinForm.safeParse(request.body);
    if (!form.success) return reply.code(400).send({ problem: "Type the class code and your name." });
    return orRefusal(reply, async () => {
      const person = await door.join(form.data, request.ip, holderOf(request));
      reply.header("set-cookie", tokens.cookieFor(person.id));
      return { name: person.name };
    });
  });
  web.post("/pass", (request, reply) => {
    const holder = holderOf(request);
    const form = passForm.safeParse(request.body);
    if (!holder || !form.success) return reply.code(400).send({ problem: "Join first, then type the pass." });
    return orRefusal(reply, async () => ({
      role: (await door.promote(holder, form.data.pass, request.ip)).role,
    }));
  });
  web.post("/leave", async (request, reply) => {
    const holder = holderOf(request);
    if (holder) await desk.act(() => [tokens.voiding(holder.id, "left")], { by: holder.id });
    return reply.header("set-cookie", tokens.endCookie()).send({ left: true });
  });
  addStaffDesk(web, parts);
}

function addStaffDesk(web: FastifyInstance, { staffDesk, tokens }: EntryParts): void {
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

/** Answers with what was made, or with the sentence of a refusal. */
async function orRefusal(reply: FastifyReply, make: () => object | Promise<object>): Promise<FastifyReply> {
  try {
    return reply.send(await make());
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    return reply.code(error.code === "wait" ? 429 : 403).send({ problem: error.message, code: error.code });
  }
}
