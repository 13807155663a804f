/** What makes a message recognisable: a nonce for the platform, and the same word as our own mark in it. */
import { createHash } from "node:crypto";

/** The platform's longest nonce is 25 characters; 120 bits of the key's hash are plenty. */
const LENGTH = 20;

/** The same key always gives the same nonce: at most 25 characters of the URL-safe alphabet. */
export function nonceFor(key: string): string {
  return createHash("sha256").update(key).digest("base64url").slice(0, LENGTH);
}
