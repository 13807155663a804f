/** A command's answer as data: every surface renders it in its own way. */
import type { Button } from "../base/button.js";
import type { Phrase } from "../base/phrase.js";
import type { FrameRecord } from "../journal/events.js";
import type { Picture } from "../pictures/pictures.js";
import type { Request } from "../queue/request.js";

export interface Field {
  readonly name: string;
  readonly value: Phrase;
}

/** A table: the terminal aligns it, a phone gets one line for each row. */
export interface Table {
  readonly columns: readonly string[];
  readonly rows: readonly (readonly Phrase[])[];
  /** Index of a row to mark as the reader's own, by a sign as well as by weight. */
  readonly ownRows: readonly number[];
}

/** A file to take away, such as a CSV record. */
export interface Download {
  readonly fileName: string;
  readonly mediaType: string;
  readonly content: string | Uint8Array;
}

/** A frame that was taken, with the request it belongs to: a surface shows it, or says where it is. */
export interface ReplyFrame {
  readonly request: Request;
  readonly frame: FrameRecord;
}

/** For the person who asked alone: what others are to hear is a notice. */
export interface Reply {
  /** `refused`: nothing changed, and the first line says what was wrong and what to type instead. */
  readonly tone: "answer" | "done" | "warning" | "refused";
  /** The answer itself, in a few words. */
  readonly title: string;
  readonly lines: readonly Phrase[];
  readonly fields?: readonly Field[];
  readonly table?: Table;
  readonly picture?: Picture;
  readonly downloads?: readonly Download[];
  readonly frames?: readonly ReplyFrame[];
  readonly actions?: readonly Button[];
}
