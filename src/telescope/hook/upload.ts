/** Frames that are sent along with their event: first the whole message to disk, believed only then taken apart. */
import { createReadStream, createWriteStream } from "node:fs";
import { mkdir, rm } from "node:fs/promises";
import { join } from "node:path";
import { type Readable, Transform } from "node:stream";
import { pipeline } from "node:stream/promises";
import { Busboy, type BusboyHeaders } from "@fastify/busboy";
import { Refusal } from "../../base/refusal.js";

/** Names of the form's two parts. */
const EVENT_PART = "event";
const FRAME_PART = "frame";
/** What is not swept away at the next start has another ending (see frames/kept-files.ts). */
const UNFINISHED = ".part";

export interface Form {
  /** The event, as text. */
  readonly event: string;
  /** Where the frame's bytes are; the caller removes them. */
  readonly framePath: string;
}

/** A folder for what is on its way; few at a time, so that nobody can fill the disk. */
export class Uploads {
  private count = 0;
  private underWay = 0;

  constructor(
    private readonly folder: string,
    private readonly mostBytes: number,
    private readonly mostAtATime = 4,
  ) {}

  /**
   * Writes a message's body to a file, as it comes.
   * @param hear is given every piece
   * @returns the file's path; the caller removes it
   * @throws {Refusal} code "too-large" or "too-many"
   */
  async receive(body: Readable, hear: (piece: Buffer) => void): Promise<string> {
    if (this.underWay >= this.mostAtATime)
      throw new Refusal(
        "too-many",
        `${this.mostAtATime} frames are on their way already: send it again in a while.`,
      );
    this.underWay++;
    try {
      return await this.toFile(body, hear);
    } finally {
      this.underWay--;
    }
  }

  /**
   * Takes a form apart that was received.
   * @throws {Refusal} code "no-form" for anything but one field `event` and one file `frame`
   */
  async open(path: string, contentType: string): Promise<Form> {
    const parts = formParser(contentType);
    const framePath = this.newPath();
    const got: { event: string | null; frame: Promise<void> | null } = { event: null, frame: null };
    parts.on("field", (name, value, _nameCut, valueCut) => {
      if (name === EVENT_PART && !valueCut) got.event = value;
    });
    parts.on("file", (name, file) => {
      if (name !== FRAME_PART || got.frame) return void file.resume();
      got.frame = pipeline(file, createWriteStream(framePath));
      // Looked at below.
      got.frame.catch(() => {});
    });
    try {
      await pipeline(createReadStream(path), parts);
      await got.frame;
    } catch (error) {
      await rm(framePath, { force: true });
      throw noForm({ cause: error });
    }
    const { event, frame } = got;
    if (event !== null && frame !== null) return { event, framePath };
    await rm(framePath, { force: true });
    throw noForm();
  }

  private async toFile(body: Readable, hear: (piece: Buffer) => void): Promise<string> {
    const { folder, mostBytes } = this;
    await mkdir(folder, { recursive: true });
    const path = this.newPath();
    let bytes = 0;
    const watched = new Transform({
      transform(piece: Buffer, _encoding, done) {
        bytes += piece.length;
        if (bytes > mostBytes) return done(tooLarge(mostBytes));
        hear(piece);
        done(null, piece);
      },
    });
    try {
      await pipeline(body, watched, createWriteStream(path));
      return path;
    } catch (error) {
      await rm(path, { force: true });
      throw error;
    }
  }

  private newPath(): string {
    return join(this.folder, `${process.pid}-${++this.count}${UNFINISHED}`);
  }
}

function formParser(contentType: string): InstanceType<typeof Busboy> {
  const limits = { fields: 1, files: 1, parts: 4, fieldSize: 64_000, fieldNameSize: 100, headerPairs: 20 };
  try {
    return new Busboy({ headers: { "content-type": contentType } as BusboyHeaders, limits });
  } catch (error) {
    throw noForm({ cause: error });
  }
}

function tooLarge(mostBytes: number): Refusal {
  return new Refusal(
    "too-large",
    `This is larger than ${Math.round(mostBytes / 1_000_000)} MB: raise telescope.hook.mostMegabytes, or name the frame by its file in telescope.hook.framesFolder.`,
  );
}

function noForm(options?: ErrorOptions): Refusal {
  return new Refusal(
    "no-form",
    `This form cannot be read: it has to have one field "${EVENT_PART}" with the event and one file "${FRAME_PART}".`,
    options,
  );
}
