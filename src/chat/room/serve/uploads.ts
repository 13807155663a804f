/** Files that a page sends before the command they go with; each is its sender's alone, for a while. */
import { randomBytes } from "node:crypto";
import type { FastifyInstance } from "fastify";
import type { Clock } from "../../../base/clock.js";
import { Refusal } from "../../../base/refusal.js";
import { MINUTE } from "../../../base/units.js";
import type { Asker, GivenFile } from "../../../commands/command.js";
import { mayUse } from "../../../commands/people/roles.js";
import { cleanText } from "../../../commands/read/clean-text.js";
import { commandTable } from "../../../commands/table.js";
import type { PersonId } from "../../../queue/request.js";
import type { ReceivedFiles } from "../../received-files.js";
import type { Tokens } from "../door/tokens.js";

/** A file whose command never came is let go of. */
const KEPT: number = 10 * MINUTE;
const MOST_OF_ONE = 40;
const MOST_ON_THEIR_WAY = 4;
const LONGEST_NAME = 100;

interface Upload {
  readonly owner: PersonId;
  readonly name: string;
  readonly path: string;
  readonly callOff: () => void;
}

export class Uploads {
  private readonly uploads = new Map<string, Upload>();
  private onTheirWay = 0;

  constructor(
    private readonly received: ReceivedFiles,
    private readonly real: Clock,
  ) {}

  /**
   * Takes a file in.
   * @returns the word by which a command of the same person's names it
   * @throws {Refusal} when it cannot be taken
   */
  async take(owner: Asker, name: string, chunks: AsyncIterable<Uint8Array>, bytes: number | null) {
    const own = [...this.uploads.values()].filter((each) => each.owner === owner.id);
    if (this.onTheirWay >= MOST_ON_THEIR_WAY || own.length >= MOST_OF_ONE)
      throw new Refusal(
        "wait",
        "Too many files are on their way: wait until they are here, then send it again.",
      );
    this.onTheirWay += 1;
    try {
      const path = await this.received.take(chunks, bytes);
      const id = randomBytes(12).toString("hex");
      const callOff = this.real.at(this.real.now() + KEPT, () => void this.drop(owner, [id]));
      const shown = cleanText(name).slice(0, LONGEST_NAME) || "the file";
      this.uploads.set(id, { owner: owner.id, name: shown, path, callOff });
      return id;
    } finally {
      this.onTheirWay -= 1;
    }
  }

  /** What a word names for one person; only its own files. */
  of(person: Asker, id: string): GivenFile {
    const found = this.uploads.get(id);
    const own = found?.owner === person.id ? found : undefined;
    const gone = (): Promise<string> =>
      Promise.reject(
        new Refusal("no-file", "That file is not here: choose it again in the form of the command."),
      );
    return { name: own?.name ?? "The file", fetch: async () => own?.path ?? gone() };
  }

  /** Lets files of one person's go. */
  async drop(owner: Asker, ids: Iterable<string>): Promise<void> {
    for (const id of ids) {
      const upload = this.uploads.get(id);
      if (upload?.owner !== owner.id) continue;
      upload.callOff();
      this.uploads.delete(id);
      await this.received.drop(upload.path);
    }
  }
}

interface UploadParts {
  readonly tokens: Pick<Tokens, "personOf">;
  readonly uploads: Uploads;
}

const FILE = "application/octet-stream";

/** Those who may use a command that takes files send them here, one at a time: its bytes are the whole of the body. */
export function addUploads(web: FastifyInstance, { tokens, uploads }: UploadParts): void {
  web.addContentTypeParser(FILE, (_request, body, done) => done(null, body));
  web.post<{ Querystring: { name?: string } }>("/upload", async (request, reply) => {
    const person = tokens.personOf(request.headers.cookie);
    const taking = commandTable.filter(({ options }) => options.some(({ kind }) => kind === "files"));
    const may = person && taking.some((spec) => mayUse(person.role, spec));
    if (!may || request.headers["content-type"] !== FILE)
      return reply.code(403).send({ problem: "Only whoever works the telescope hands files over." });
    const bytes = Number(request.headers["content-length"] ?? Number.NaN);
    try {
      const body = request.body as AsyncIterable<Uint8Array>;
      const name = String(request.query.name ?? "");
      return { id: await uploads.take(person, name, body, Number.isFinite(bytes) ? bytes : null) };
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      // What is left of it is not waited for.
      return reply.code(422).header("connection", "close").send({ problem: error.message });
    }
  });
}
