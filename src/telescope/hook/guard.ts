/** Who may speak to the hook: whoever knows the secret, says when, and says it for the first time. */
import type { Hmac } from "node:crypto";
import type { Clock } from "../../base/clock.js";
import { Refusal } from "../../base/refusal.js";
import { MINUTE, type Millis, SECOND, type UtcMillis } from "../../base/units.js";
import { beginRequestSignature, type MessageHead, sameSignature } from "./signature.js";

/** How far the other machine's clock may be from ours; a message is as long known again. */
const TOLERANCE: Millis = MINUTE;

export interface SignedHead extends MessageHead {
  readonly signature: string;
}

export class Guard {
  private readonly startedUnixMs: UtcMillis;
  /** Signatures accepted, with when each will be too old anyway. */
  private readonly heard = new Map<string, UtcMillis>();

  constructor(
    private readonly secret: string,
    private readonly clock: Pick<Clock, "now">,
  ) {
    this.startedUnixMs = clock.now();
  }

  /**
   * Looks at a message's head before its body is read.
   * @throws {Refusal} code "unsigned" or "untimely"
   */
  admit(method: string, path: string, time: unknown, signature: unknown): SignedHead {
    if (typeof time !== "string" || typeof signature !== "string")
      throw new Refusal(
        "unsigned",
        "This is not signed: send the headers Nightslate-Time and Nightslate-Signature.",
      );
    if (!/^\d{1,12}(\.\d{1,9})?$/.test(time))
      throw new Refusal(
        "untimely",
        "Nightslate-Time has to be seconds since 1970 (UTC), such as 1782000000.125.",
      );
    if (!/^[0-9a-f]{64}$/.test(signature))
      throw new Refusal("unsigned", "Nightslate-Signature has to be 64 hexadecimal digits in lower case.");
    const saidUnixMs = Number(time) * SECOND;
    const now = this.clock.now();
    if (Math.abs(saidUnixMs - now) > TOLERANCE)
      throw new Refusal(
        "untimely",
        `Nightslate-Time is ${Math.round((saidUnixMs - now) / SECOND)} s from the time here (${new Date(now).toISOString()}): set both clocks by a time server.`,
      );
    // What was said to a program that ran before this one is no longer known.
    if (saidUnixMs < this.startedUnixMs)
      throw new Refusal("untimely", "This was signed before the program was started: sign it again.");
    return { method, path, time, signature };
  }

  /** To be fed the body. */
  begin(head: SignedHead): Hmac {
    return beginRequestSignature(this.secret, head);
  }

  /**
   * Looks at the whole message.
   * @param made what `begin` gave, fed with all of the body
   * @throws {Refusal} code "forged" or "replayed"
   */
  verify({ signature, time }: SignedHead, made: Hmac): void {
    if (!sameSignature(signature, made.digest("hex")))
      throw new Refusal(
        "forged",
        "The signature does not fit: it is HMAC-SHA256 with the secret over method, path, time and body.",
      );
    this.forgetBefore(this.clock.now());
    if (this.heard.has(signature))
      throw new Refusal("replayed", "This was said already: sign it again with the present time.");
    this.heard.set(signature, Number(time) * SECOND + TOLERANCE);
  }

  private forgetBefore(unixMs: UtcMillis): void {
    for (const [signature, untilUnixMs] of this.heard) if (untilUnixMs < unixMs) this.heard.delete(signature);
  }
}
