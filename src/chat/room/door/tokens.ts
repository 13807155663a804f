/**
 * Who a browser is: a signed token in a cookie that scripts cannot read; it outlives restarts of the server.
 * Each person's tokens have a generation, kept in the journal: raising it voids those given out before.
 */
import { createHmac, randomBytes, timingSafeEqual } from "node:crypto";
import type { Clock } from "../../../base/clock.js";
import { DAY, type Millis, type UtcMillis } from "../../../base/units.js";
import type { Asker } from "../../../commands/command.js";
import type { Desk } from "../../../journal/desk.js";
import type { Entry, NightslateEvent } from "../../../journal/events.js";
import { NAME_OF_FORGOTTEN } from "../../../journal/fold-people.js";
import { memberOf } from "../../../journal/membership.js";
import type { PersonId } from "../../../queue/request.js";

const SURFACE = "room";
const SECRET = "secret";
const TOKENS = "tokens:";
/** A token is good for so long after it was given out. */
const GOOD_FOR: Millis = 30 * DAY;
/** Someone who looks in gets a new one when theirs is this old. */
const RENEWED_AFTER: Millis = DAY;

/** Why a person's tokens are void, as their open pages are told: 123 bytes at most (RFC 6455, 5.5.1). */
const WHY_VOID = {
  left: "You have left. Your name stays yours: to come back, ask your instructor to let you back in.",
  back: "You came in on another device, so you are signed out here.",
  demoted: "Your staff rights were taken back. To come back, ask your instructor to let you back in.",
} as const;
const FORGOTTEN = "Your name, notes and choices are removed, as you asked.";
export type WhyVoid = keyof typeof WHY_VOID;

interface Token {
  readonly personId: PersonId;
  readonly generation: number;
  readonly issuedUnixMs: UtcMillis;
}

export class Tokens {
  private constructor(
    private readonly desk: Desk,
    private readonly classId: string,
    private readonly real: Clock,
    private readonly secret: string,
  ) {}

  /**
   * Opens with the secret that the journal keeps, made at the first start.
   * @param real real time, for the age of tokens
   */
  static async open(desk: Desk, classId: string, real: Clock): Promise<Tokens> {
    const kept = (): string | undefined => desk.state.remembered.get(SURFACE)?.get(SECRET);
    if (kept() === undefined) {
      const value = randomBytes(32).toString("hex");
      await desk.act(() => [{ type: "surface.remembered", surface: SURFACE, key: SECRET, value }], {
        by: SURFACE,
      });
    }
    return new Tokens(desk, classId, real, kept() as string);
  }

  /** Names this journal, so that a page notices when it talks to another. */
  get book(): string {
    return this.sign("book").slice(0, 12);
  }

  /** The `Set-Cookie` value that makes a browser this person. */
  cookieFor(personId: PersonId): string {
    const parts = [this.generationOf(personId), this.real.now(), randomBytes(9).toString("base64url")];
    const body = [Buffer.from(personId).toString("base64url"), ...parts].join(".");
    return `${this.cookieName}=${body}.${this.sign(body)}; ${attributes(GOOD_FOR)}`;
  }

  /** The `Set-Cookie` value that makes a browser nobody. */
  endCookie(): string {
    return `${this.cookieName}=; ${attributes(0)}`;
  }

  /** A fresh `Set-Cookie` value for a browser whose valid token is a day old; else null. */
  renewed(cookieHeader: string | undefined): string | null {
    const token = this.tokenIn(cookieHeader);
    const isOld = token !== null && this.real.now() - token.issuedUnixMs >= RENEWED_AFTER;
    return isOld && this.person(token.personId) ? this.cookieFor(token.personId) : null;
  }

  /** The person whose valid token a `Cookie` header holds, as they are known now; null for nobody. */
  personOf(cookieHeader: string | undefined): Asker | null {
    const token = this.tokenIn(cookieHeader);
    return token && this.person(token.personId);
  }

  /** A person of this class as the journal knows them; null when forgotten. */
  person(personId: PersonId): Asker | null {
    const known = memberOf(this.desk.state, personId, this.classId);
    if (!known || known.name === NAME_OF_FORGOTTEN) return null;
    const { id, name, classId, role } = known;
    return { id, name, classId, role };
  }

  /** The event that voids every token a person has. */
  voiding(personId: PersonId, why: WhyVoid): NightslateEvent {
    const value = `${this.generationOf(personId) + 1} ${why}`;
    return { type: "surface.remembered", surface: SURFACE, key: TOKENS + personId, value };
  }

  /** Whose tokens an entry voids, and why, in a sentence. */
  static voidedBy(entry: Entry): ReadonlyMap<PersonId, string> {
    const voided = new Map<PersonId, string>();
    for (const event of entry.events) {
      if (event.type === "person.forgotten") voided.set(event.personId, FORGOTTEN);
      if (event.type !== "surface.remembered" || event.surface !== SURFACE) continue;
      if (!event.key.startsWith(TOKENS)) continue;
      const why = event.value?.split(" ")[1] as WhyVoid | undefined;
      voided.set(event.key.slice(TOKENS.length), WHY_VOID[why ?? "left"]);
    }
    return voided;
  }

  /** Browsers share cookies between the ports of a host: each journal's has a name of its own. */
  private get cookieName(): string {
    return `nightslate-${this.book}`;
  }

  private generationOf(personId: PersonId): number {
    return Number.parseInt(this.desk.state.remembered.get(SURFACE)?.get(TOKENS + personId) ?? "0", 10);
  }

  private tokenIn(cookieHeader: string | undefined): Token | null {
    for (const part of (cookieHeader ?? "").split(";")) {
      const [name, value] = part.trim().split("=");
      const token = name === this.cookieName && value !== undefined ? this.read(value) : null;
      if (token) return token;
    }
    return null;
  }

  /** What a token says, when it is ours, of the present generation and not too old. */
  private read(text: string): Token | null {
    const end = text.lastIndexOf(".");
    const given = Buffer.from(text.slice(end + 1));
    const right = Buffer.from(this.sign(text.slice(0, Math.max(0, end))));
    if (given.length !== right.length || !timingSafeEqual(given, right)) return null;
    const [id = "", generation, issuedUnixMs] = text.split(".");
    const personId = Buffer.from(id, "base64url").toString();
    const token = { personId, generation: Number(generation), issuedUnixMs: Number(issuedUnixMs) };
    const isCurrent = token.generation === this.generationOf(personId);
    return isCurrent && this.real.now() - token.issuedUnixMs < GOOD_FOR ? token : null;
  }

  private sign(text: string): string {
    return createHmac("sha256", this.secret).update(text).digest("base64url");
  }
}

function attributes(maxAge: Millis): string {
  return `Max-Age=${Math.round(maxAge / 1000)}; Path=/; HttpOnly; SameSite=Strict`;
}
