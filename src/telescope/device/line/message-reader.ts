/** Reads messages out of the endless XML that a server sends, in whatever pieces it arrives. */
import { SaxesParser, type SaxesTagPlain } from "saxes";
import type { Blob, Message, PropertyState } from "./messages.js";

/** What a server sends that cannot be read on: the line is of no use any more. */
export class Unreadable extends Error {}

const STATES: readonly string[] = ["Idle", "Ok", "Busy", "Alert"];
const VECTOR = /^(def|set)(Number|Switch|Text|Light|BLOB)Vector$/;
const ELEMENT = /^(def|one)(Number|Switch|Text|Light|BLOB)$/;
/** Characters of one element: a text or number; a file, as base64 (some 300 MB). */
const LONGEST_VALUE = 100_000;
const LONGEST_FILE = 400_000_000;

interface Open {
  readonly word: "defined" | "changed";
  readonly device: string;
  readonly name: string;
  readonly state: PropertyState;
  readonly values: Map<string, string>;
  readonly blobs: Blob[];
}

export class MessageReader {
  private readonly parser = new SaxesParser({ fragment: true });
  private depth = 0;
  private open: Open | null = null;
  private element: { name: string; format: string; isFile: boolean } | null = null;
  private pieces: string[] = [];
  private length = 0;

  constructor(private readonly onMessage: (message: Message) => void) {
    this.parser.on("error", (error) => {
      throw new Unreadable(error.message);
    });
    this.parser.on("opentag", (tag) => this.begin(tag as SaxesTagPlain));
    this.parser.on("text", (text) => this.add(text));
    this.parser.on("closetag", (tag) => this.end(tag as SaxesTagPlain));
  }

  /**
   * Takes what has come; messages are told as they are complete.
   * @throws {Unreadable} for what is no XML, or without end
   */
  read(text: string): void {
    this.parser.write(text);
  }

  private begin({ name, attributes }: SaxesTagPlain): void {
    this.depth++;
    if (this.depth === 1) this.beginVector(name, attributes);
    else if (this.depth === 2 && this.open && ELEMENT.test(name)) {
      const { name: element = "", format = "" } = attributes;
      this.element = { name: element, format, isFile: name === "oneBLOB" };
      this.pieces = [];
      this.length = 0;
    }
  }

  private beginVector(tag: string, { device, name, state }: Record<string, string>): void {
    const vector = VECTOR.exec(tag);
    if (tag === "delProperty" && device !== undefined) {
      this.onMessage({ says: "gone", device, name: name ?? null });
    } else if (vector && device !== undefined && name !== undefined) {
      this.open = {
        word: vector[1] === "def" ? "defined" : "changed",
        device,
        name,
        state: STATES.includes(state ?? "") ? (state as PropertyState) : "Idle",
        values: new Map(),
        blobs: [],
      };
    }
  }

  private add(text: string): void {
    if (!this.element) return;
    this.length += text.length;
    if (this.length > (this.element.isFile ? LONGEST_FILE : LONGEST_VALUE))
      throw new Unreadable(`a value of more than ${this.length} characters`);
    this.pieces.push(text);
  }

  private end(_: SaxesTagPlain): void {
    this.depth--;
    const { open, element } = this;
    if (this.depth === 1 && open && element) this.endElement(open, element);
    if (this.depth > 0 || !open) return;
    this.open = null;
    const { word: says, blobs, ...property } = open;
    this.onMessage({ says, property });
    for (const blob of blobs) this.onMessage({ says: "blob", blob });
  }

  private endElement(open: Open, { name, format, isFile }: NonNullable<MessageReader["element"]>): void {
    const text = this.pieces.join("");
    this.pieces = [];
    this.element = null;
    if (!isFile) open.values.set(name, text.trim());
    else {
      const { device, name: property } = open;
      open.blobs.push({ device, property, element: name, format, bytes: Buffer.from(text, "base64") });
    }
  }
}
