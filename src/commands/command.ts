/** One command: described once, used by every surface. */
import type { Invocation } from "../base/button.js";
import type { Venue } from "../notices/venues.js";
import type { Address, PersonId, Role } from "../queue/request.js";
import type { Reply } from "./reply.js";
import type { Services } from "./services.js";

export type { RawOptions } from "../base/button.js";

export type OptionKind =
  | "target"
  | "filter"
  | "request"
  | "person"
  | "choice"
  | "whole"
  | "number"
  | "text"
  /** A clock time today ("22:30") or a date and time. */
  | "time"
  /** A clock time of no particular day, "21:00" or "9 pm". */
  | "clock"
  /** "2026-12-04", "tonight", "tomorrow". */
  | "date"
  /** Files that are handed over, one or several. */
  | "files";

export interface OptionSpec {
  /** Lower case, one word. */
  readonly name: string;
  readonly kind: OptionKind;
  readonly required?: boolean;
  /** One line of help, at most 100 characters. */
  readonly help: string;
  /** For `whole` and `number`. */
  readonly min?: number;
  readonly max?: number;
  /** For `choice`. */
  readonly choices?: readonly string[];
  /** For `choice`: what a surface calls each of them, where the bare word would not be understood. */
  labels?(venue: Venue): Readonly<Record<string, string>>;
  /** For `text`: longest accepted, characters. */
  readonly maxLength?: number;
  /** For `text`: what it usually is, and can be completed to; `people`: names with commas between them. */
  readonly completes?: "people" | "groups" | "commands";
  /** For `number`: what a bare number counts; "2m" and "90 sec" are understood then. */
  readonly unit?: "seconds" | "minutes";
  /** For `files`: so many at a time. */
  readonly most?: number;
  /** Makes sense only beside one of these values of a choice that stands before it. */
  readonly onlyWith?: { readonly option: string; readonly choices: readonly string[] };
  /** Given by name only (target=M13), never by its place in a typed line. */
  readonly named?: boolean;
  /** Asked for by an answer, with a button that gives it: a form leaves it out. */
  readonly byButton?: boolean;
  /** Which requests a `request` option offers: the asker's waiting ones, or all that are waiting or taken. */
  readonly offer?: "own-waiting" | "all-active";
  /** For `request`: usually somebody else's, so that the asker's own are no help. */
  readonly ofOthers?: boolean;
}

/** Who is asking, as established by the surface (never by what the person typed). */
export interface Asker {
  readonly id: PersonId;
  readonly name: string;
  readonly classId: string;
  readonly role: Role;
}

/** A file that somebody hands over with a command. */
export interface GivenFile {
  /** As its owner calls it. */
  readonly name: string;
  /**
   * Where it lies while the command runs; brought only when it is wanted.
   * @throws {Refusal} when it cannot be had
   */
  fetch(): Promise<string>;
}

/** What a surface understands by one word of a `files` option. */
export type GiveFile = (word: string) => GivenFile;

/** One use of a command. */
export interface Call extends Invocation {
  readonly asker: Asker;
  readonly from: Address;
  /** The surface's id for this delivery; the same id twice is acted on once. */
  readonly onceKey: string | null;
  /** Left out where nothing can be handed over. */
  readonly giveFile?: GiveFile;
}

export interface CommandSpec {
  /** Without the slash. */
  readonly name: string;
  /** Least role that may use it; instructors may use everything, operators everything but what is theirs. */
  readonly who: Role;
  /** One line of help, at most 100 characters. */
  readonly help: string;
  /** What someone without the role can do instead, one sentence. */
  readonly otherwise?: string;
  readonly options: readonly OptionSpec[];
  /** One or more lines to type, each valid, first the commonest. */
  readonly examples: readonly string[];
  /** Whether drawing takes long enough for a surface to say "one moment" first. */
  readonly slow?: boolean;
  /** Whether it only asks: what it refuses was never to be done. */
  readonly asks?: boolean;
  /**
   * Acts on what moves at this moment: where it cannot be passed on at once it is never kept for later, and this
   * sentence says what to do instead.
   */
  readonly atOnce?: string;
  /** Whether its answer ages, so that asking the same again makes sense. */
  readonly ages?: boolean;
  /**
   * Parses, checks, decides and answers.
   * @throws {Refusal} with one clear sentence; the dispatcher turns it into a refused reply.
   */
  run(call: Call, services: Services): Promise<Reply>;
}

/** One suggestion while an option is being typed. */
export interface Suggestion {
  /** What the person sees: "M13 · 62° up, best 21:40". At most 100 characters. */
  readonly label: string;
  /** What is filled in. */
  readonly value: string;
}
