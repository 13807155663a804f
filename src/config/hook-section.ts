/** `telescope.hook`: a control program of the observatory's own asks what is next and tells what it does. */
import { z } from "zod";
import { shown } from "../observatory/observatory-schema.js";

export const hookSection = z.strictObject({
  /** Loopback only unless told otherwise; what is said is signed, but anyone on the line can read it. */
  host: z.string().min(1).max(253).default("127.0.0.1"),
  port: z.number().int().min(0).max(65535).default(8421),
  /** A file of mode 600 with the secret that both ends know; NIGHTSLATE_HOOK_SECRET goes before it. */
  secretFile: shown(1_000).nullable().default(null),
  /** Where the program leaves frames that it names by their file; null: it sends them along. */
  framesFolder: shown(1_000).nullable().default(null),
  /** Of a frame that is sent along; a whole one is in memory while it is read. */
  largestFrameMegabytes: z.number().min(1).max(200).default(40),
  /** How long the program may take to say that it has stopped; after that the telescope counts as at fault. */
  stopSeconds: z.number().min(5).max(600).default(60),
});
