/** Pictures and files made for one person's answer, kept in memory until fetched or pushed out. */
import { randomBytes } from "node:crypto";
import type { PersonId } from "../../../queue/request.js";

export interface Handout {
  readonly owner: PersonId;
  readonly content: Buffer;
  readonly mediaType: string;
  readonly fileName: string;
}

/** Some hundred charts: each is fetched as soon as its answer is shown, and then kept by the browser. */
const MOST_BYTES = 8 * 1024 * 1024;

export class Handouts {
  private readonly kept = new Map<string, Handout>();
  private bytes = 0;

  /** Keeps it; returns the address from which its owner fetches it. */
  put(owner: PersonId, content: string | Uint8Array, mediaType: string, fileName: string): string {
    const key = randomBytes(15).toString("base64url");
    const handout = { owner, content: Buffer.from(content), mediaType, fileName };
    this.kept.set(key, handout);
    this.bytes += handout.content.length;
    for (const [oldest, each] of this.kept) {
      if (this.bytes <= MOST_BYTES || oldest === key) break;
      this.kept.delete(oldest);
      this.bytes -= each.content.length;
    }
    return `/handout/${key}`;
  }

  /** null when it is gone or somebody else's. */
  get(key: string, reader: PersonId): Handout | null {
    const found = this.kept.get(key);
    return found?.owner === reader ? found : null;
  }
}
