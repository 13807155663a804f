/** Who a browser is: a signed token in a cookie that scripts cannot read; it outlives restarts of the server. */
import { createHmac, randomBytes, timingSafeEqual } from "node:crypto";
import type { Asker } from "../../commands/command.js";
import type { Desk } from "../../journal/desk.js";
import { NAME_OF_FORGOTTEN } from "../../journal/fold-people.js";
import type { PersonId } from "../../queue/request.js";

const SURFACE = "room";
const SECRET = "secret";
const COOKIE = "nightslate";
const DAYS = 30;

export class Sessions {
  private constructor(
    private readonly desk: Desk,
    private readonly classId: string,
    private readonly secret: string,
  ) {}

  /** Opens with the secret that the journal keeps, made at the first start. */
  static async open(desk: Desk, classId: string): Promise<Sessions> {
    const kept = (): string | undefined => desk.state.remembered.get(SURFACE)?.get(SECRET);
    if (kept() === undefined) {
      const value = randomBytes(32).toString("hex");
      await desk.act(() => [{ type: "surface.remembered", surface: SURFACE, key: SECRET, value }], {
        by: SURFACE,
      });
    }
    return new Sessions(desk, classId, kept() as string);
  }

  /** Names this journal, so that a page notices when it talks to another. */
  get book(): string {
    return this.sign("book").slice(0, 12);
  }

  /** The `Set-Cookie` value that makes a browser this person. */
  cookieFor(personId: PersonId): string {
    const body = `${Buffer.from(personId).toString("base64url")}.${randomBytes(9).toString("base64url")}`;
    return `${COOKIE}=${body}.${this.sign(body)}; ${attributes(DAYS * 86_400)}`;
  }

  /** The `Set-Cookie` value that makes a browser nobody. */
  static endCookie(): string {
    return `${COOKIE}=; ${attributes(0)}`;
  }

  /** The person whose valid token a `Cookie` header holds, as they are known now; null for nobody. */
  personOf(cookieHeader: string | undefined): Asker | null {
    for (const part of (cookieHeader ?? "").split(";")) {
      const [name, value] = part.trim().split("=");
      if (name !== COOKIE || value === undefined) continue;
      const personId = this.read(value);
      const person = personId === null ? null : this.person(personId);
      if (person) return person;
    }
    return null;
  }

  /** A person of this class as the journal knows them; null when forgotten. */
  person(personId: PersonId): Asker | null {
    const known = this.desk.state.people.get(personId);
    if (!known || known.classId !== this.classId || known.name === NAME_OF_FORGOTTEN) return null;
    const { id, name, classId, role } = known;
    return { id, name, classId, role };
  }

  private read(token: string): PersonId | null {
    const end = token.lastIndexOf(".");
    const given = Buffer.from(token.slice(end + 1));
    const right = Buffer.from(this.sign(token.slice(0, Math.max(0, end))));
    if (given.length !== right.length || !timingSafeEqual(given, right)) return null;
    return Buffer.from(token.split(".")[0] as string, "base64url").toString();
  }

  private sign(text: string): string {
    return createHmac("sha256", this.secret).update(text).digest("base64url");
  }
}

function attributes(maxAgeSeconds: number): string {
  return `Max-Age=${maxAgeSeconds}; Path=/; HttpOnly; SameSite=Strict`;
}
