/** What a page may send: checked to the letter, whatever a browser pretends to be. */
import { z } from "zod";
import type { ClientMessage } from "../wire.js";

/** Bytes of one message: the longest command line and its surroundings. */
export const LONGEST_MESSAGE = 4_096;

const id = z.string().regex(/^[A-Za-z0-9-]{1,40}$/);
const word = z.string().min(1).max(40);
const sequence = z.tuple([
  z.number().int().min(0).max(Number.MAX_SAFE_INTEGER),
  z.number().int().min(0).max(Number.MAX_SAFE_INTEGER),
]);

const message = z.discriminatedUnion("t", [
  z.strictObject({
    t: z.literal("hello"),
    after: sequence.nullable(),
    back: z.number().int().min(0).max(100),
  }),
  z.strictObject({ t: z.literal("line"), id, line: z.string().max(1_000) }),
  z.strictObject({
    t: z.literal("run"),
    id,
    command: word,
    options: z
      .record(word, z.string().max(1_000))
      .refine((options) => Object.keys(options).length <= 20, "too many options"),
  }),
  z.strictObject({ t: z.literal("suggest"), id, command: word, option: word, typed: z.string().max(200) }),
  z.strictObject({ t: z.literal("pass"), role: z.enum(["instructor", "operator"]) }),
]);

/** The message in a text frame; null when it is none. */
export function readMessage(text: string): ClientMessage | null {
  try {
    const read = message.safeParse(JSON.parse(text));
    return read.success ? read.data : null;
  } catch {
    return null;
  }
}
