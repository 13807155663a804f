/** Signatures of the hook: HMAC-SHA256 (RFC 2104, FIPS 180-4), of what is asked and of what is answered. */
import { createHmac, type Hmac, timingSafeEqual } from "node:crypto";

/** Names of the two headers, in lower case as Node gives them. */
export const TIME_HEADER = "nightslate-time";
export const SIGNATURE_HEADER = "nightslate-signature";

/** What of a message is signed before its body. */
export interface MessageHead {
  /** In capitals: GET, POST. */
  readonly method: string;
  /** With its query, as it was sent. */
  readonly path: string;
  /** Seconds since 1970 in UTC, as text: it is signed as it was written. */
  readonly time: string;
}

export interface AnswerHead {
  /** Of the message that is answered; empty where it had none. An answer cannot be passed off as another's. */
  readonly requestSignature: string;
  readonly status: number;
  readonly time: string;
}

/** A message's signature in the making: the bytes of its body are still to be fed to it, as they come. */
export function beginRequestSignature(secret: string, { method, path, time }: MessageHead): Hmac {
  return createHmac("sha256", secret).update(`${method}\n${path}\n${time}\n`);
}

/** @returns 64 hexadecimal digits */
export function answerSignature(secret: string, head: AnswerHead, body: string | Buffer): string {
  const { requestSignature, status, time } = head;
  return createHmac("sha256", secret)
    .update(`ANSWER\n${requestSignature}\n${status}\n${time}\n`)
    .update(body)
    .digest("hex");
}

/** Takes as long whatever differs. */
export function sameSignature(one: string, other: string): boolean {
  const [a, b] = [Buffer.from(one), Buffer.from(other)];
  return a.length === b.length && timingSafeEqual(a, b);
}
