/** A control program's end of the hook: signs what it says, and checks the signatures of what it hears. */
import { createHmac } from "node:crypto";
import type { FastifyInstance, InjectOptions } from "fastify";
import type { ManualClock } from "../../../src/tools/manual-clock.js";

export const SECRET = "0123456789abcdef0123456789abcdef";

/** By the guide's words, without the program's own code. */
export function sign(
  secret: string,
  method: string,
  path: string,
  time: string,
  body: string | Buffer,
): string {
  return createHmac("sha256", secret).update(`${method}\n${path}\n${time}\n`).update(body).digest("hex");
}

export interface Heard {
  readonly status: number;
  // biome-ignore lint/suspicious/noExplicitAny: whatever the server answers
  readonly said: any;
  /** Whether the answer's own signature fits. */
  readonly genuine: boolean;
}

export interface Saying {
  readonly method?: "GET" | "POST";
  readonly path?: string;
  readonly body?: string | Buffer;
  readonly contentType?: string;
  readonly secret?: string;
  /** Seconds since 1970; default: now. */
  readonly time?: string;
  readonly signature?: string;
  readonly headers?: Record<string, string>;
}

let drawn = 0;

/** A time that was not used before, within a millisecond of the clock's. */
export function timeNow(clock: Pick<ManualClock, "now">): string {
  return `${Math.floor(clock.now() / 1000)}.${String(clock.now() % 1000).padStart(3, "0")}${String(++drawn % 1e6).padStart(6, "0")}`;
}

/** Says one thing, signed unless it is told otherwise. */
export async function say(
  web: FastifyInstance,
  clock: Pick<ManualClock, "now">,
  what: Saying,
): Promise<Heard> {
  const { method = "POST", path = "/telescope/events", body = "", secret = SECRET } = what;
  const time = what.time ?? timeNow(clock);
  const signature = what.signature ?? sign(secret, method, path, time, method === "GET" ? "" : body);
  const request: InjectOptions = {
    method,
    url: path,
    headers: {
      "nightslate-time": time,
      "nightslate-signature": signature,
      ...(method === "POST" ? { "content-type": what.contentType ?? "application/json" } : {}),
      ...what.headers,
    },
    ...(method === "POST" ? { payload: body } : {}),
  };
  const answer = await web.inject(request);
  const given = String(request.headers?.["nightslate-signature"]);
  const answered = String(answer.headers["nightslate-time"]);
  const expected = createHmac("sha256", SECRET)
    .update(`ANSWER\n${/^[0-9a-f]{64}$/.test(given) ? given : ""}\n${answer.statusCode}\n${answered}\n`)
    .update(answer.rawPayload)
    .digest("hex");
  return {
    status: answer.statusCode,
    said: answer.json(),
    genuine: answer.headers["nightslate-signature"] === expected,
  };
}

/** A form with an event and a frame, and the content type that goes with it. */
export function form(event: object | string, frame: Buffer): { body: Buffer; contentType: string } {
  const boundary = "frame-boundary-7c1f";
  const text = typeof event === "string" ? event : JSON.stringify(event);
  return {
    contentType: `multipart/form-data; boundary=${boundary}`,
    body: Buffer.concat([
      Buffer.from(
        `--${boundary}\r\ncontent-disposition: form-data; name="event"\r\n\r\n${text}\r\n` +
          `--${boundary}\r\ncontent-disposition: form-data; name="frame"; filename="f.fits"\r\n` +
          "content-type: application/fits\r\n\r\n",
      ),
      frame,
      Buffer.from(`\r\n--${boundary}--\r\n`),
    ]),
  };
}
