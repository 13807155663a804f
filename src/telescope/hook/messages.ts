/** What is said over the hook, both ways: the schemas from which its JSON Schema is made too. */
import { z } from "zod";
import { shown } from "../../observatory/observatory-schema.js";

const instant = z.iso
  .datetime({ offset: true })
  .meta({ description: "A date and time with its offset: 2026-06-20T04:10:00Z" });
const number = z.number().int().min(1).max(999_999_999).meta({ description: "The request: 12 for #12" });
const frame = z
  .number()
  .int()
  .min(1)
  .max(100_000)
  .meta({ description: "Which frame of the request, from 1" });
const reason = shown(200).meta({ description: 'A clause for the owner: "the mount does not answer"' });

const common = {
  id: z
    .string()
    .regex(/^[\w.:-]{1,64}$/, "1 to 64 letters, digits and . : _ -")
    .meta({
      description: "Chosen by the sender, another for each event; sent again under it, it counts once",
    }),
  at: instant.meta({ description: "When it happened" }),
};

/** An event as the observatory's control program tells it. */
export const eventSchema = z
  .discriminatedUnion("type", [
    z
      .strictObject({ type: z.literal("taken"), ...common, number })
      .meta({ description: "Asks to begin. Nothing moves for the request before this was accepted." }),
    z.strictObject({ type: z.literal("exposing"), ...common, number, frame }).meta({
      description: "The exposure of a frame has begun.",
    }),
    z
      .strictObject({
        type: z.literal("frame"),
        ...common,
        number,
        frame,
        startedAt: instant
          .optional()
          .meta({ description: "When its exposure began; default: as told by exposing" }),
        file: shown(255).optional().meta({
          description: "A FITS file in telescope.hook.framesFolder, whole; left out when it is uploaded",
        }),
      })
      .meta({ description: "A frame has been read out." }),
    z
      .strictObject({
        type: z.literal("done"),
        ...common,
        number,
        frames: z
          .number()
          .int()
          .min(0)
          .max(100_000)
          .optional()
          .meta({ description: "So many frames were sent: refused until they are all here" }),
      })
      .meta({ description: "The telescope is free again; sent after the last frame." }),
    z.strictObject({ type: z.literal("failed"), ...common, number, reason }).meta({
      description: "Nothing more comes of it, and the telescope is free.",
    }),
    z.strictObject({ type: z.literal("stopped"), ...common, number, reason: reason.optional() }).meta({
      description: "It was stopped, as asked or by someone there, and nothing moves for it any more.",
    }),
    z
      .strictObject({
        type: z.literal("equipment"),
        ...common,
        telescope: z.enum(["ready", "fault"]).optional(),
        dome: z.enum(["open", "shut", "kept-shut", "fault"]).optional(),
        camera: z.enum(["fitted", "away", "fault"]).optional(),
        sky: z.enum(["clear", "cloud", "unknown"]).optional(),
      })
      .refine(
        ({ telescope, dome, camera, sky }) => (telescope ?? dome ?? camera ?? sky) !== undefined,
        "name one of telescope, dome, camera and sky",
      )
      .meta({ description: "What changed of the equipment; what is left out stays as it is." }),
  ])
  .meta({ description: "Body of POST /telescope/events" });

export type HookEvent = z.output<typeof eventSchema>;

const degrees = z.number();
const asked = z.strictObject({
  number,
  target: z.strictObject({
    designation: z.string(),
    name: z.string(),
    type: z.string().meta({ description: "galaxy, planet, double star, …" }),
  }),
  classId: z.string(),
  filter: z.string(),
  exposureSeconds: z.number(),
  frames: z.number().int(),
  place: z
    .strictObject({
      at: instant,
      raJ2000Degrees: degrees,
      decJ2000Degrees: degrees,
      raOfDateDegrees: degrees,
      decOfDateDegrees: degrees,
      hourAngleDegrees: degrees.meta({ description: "West of the meridian positive" }),
      altitudeDegrees: degrees.meta({ description: "True, without refraction" }),
      azimuthDegrees: degrees.meta({ description: "From north through east" }),
    })
    .meta({ description: "Where it stands when exposures are expected to begin" }),
});

const holdsUntil = instant.meta({
  description: "Ask again then at the latest. A hold, a stop or a cancellation overtakes it.",
});

/** What the control program is to do. */
export const nextSchema = z
  .discriminatedUnion("do", [
    z.strictObject({
      do: z.literal("observe"),
      holdsUntil,
      underWay: z
        .boolean()
        .meta({ description: "It was taken already: go on with it, or say that it failed" }),
      framesDone: z.array(frame).meta({ description: "Frames of it that are here" }),
      request: asked,
    }),
    z.strictObject({ do: z.literal("nothing"), holdsUntil, because: z.string() }),
    z.strictObject({
      do: z.literal("hold"),
      holdsUntil,
      because: z.string(),
      people: z.boolean().meta({ description: "People are at the machines: nothing at all may move" }),
    }),
    z.strictObject({
      do: z.literal("stop"),
      holdsUntil,
      number,
      because: z.string().nullable(),
    }),
  ])
  .meta({ description: "Answer of GET /telescope/next" });

export type NextAnswer = z.output<typeof nextSchema>;

/** What became of an event. */
export const answerSchema = z
  .strictObject({
    outcome: z
      .enum(["accepted", "already", "refused"])
      .meta({ description: "already: it had been told before, or is so anyway; nothing changed" }),
    said: z.string(),
    request: z
      .strictObject({
        number,
        state: z.enum(["waiting", "taken", "completed", "cancelled", "withdrawn", "failed"]),
        frames: z.number().int(),
        framesDone: z.array(frame),
        reason: z.string().nullable(),
      })
      .nullable()
      .meta({ description: "As it stands now" }),
    next: nextSchema.nullable(),
  })
  .meta({ description: "Answer of POST /telescope/events, and of whatever is refused" });

export type EventAnswer = z.output<typeof answerSchema>;

/** JSON Schema (draft 2020-12) of the three messages. */
export function hookJsonSchema(): object {
  const registry = z.registry<{ id: string }>();
  registry.add(eventSchema, { id: "event" });
  registry.add(nextSchema, { id: "next" });
  registry.add(answerSchema, { id: "answer" });
  const { schemas } = z.toJSONSchema(registry, { uri: (id) => `#/$defs/${id}` });
  // What stands inside a schema has no address of its own.
  const inside = Object.entries(schemas).map(([id, { $id: _id, $schema: _schema, ...rest }]) => [id, rest]);
  return {
    $schema: "https://json-schema.org/draft/2020-12/schema",
    title: "Messages of the telescope's hook",
    $defs: Object.fromEntries(inside),
  };
}
