/** Where people talk to Nightslate: the terminal, the room, Discord. */
import type { Clock } from "../base/clock.js";
import type { Log } from "../base/log.js";
import type { Asker, Call, Suggestion } from "../commands/command.js";
import type { Reply } from "../commands/reply.js";
import type { Services } from "../commands/services.js";
import type { Board } from "../notices/board.js";
import type { Delivery, Parcel } from "../notices/parcel.js";
import type { Address, PersonId } from "../queue/request.js";

export type { Board } from "../notices/board.js";
export type { Delivery, Parcel } from "../notices/parcel.js";

/** Who types a line, where, and what the line may hand over. */
export type Typing = Omit<Call, "command" | "options">;

export interface SurfaceHost {
  readonly services: Services;
  readonly clock: Clock;
  readonly log: Log;
  readonly dataFolder: string;
  /** Runs a command: never rejects; a refusal or a fault is a Reply too. */
  run(call: Call): Promise<Reply>;
  /** Parses one typed line ("/request M13 clear 20 3") and runs it; also plain words such as "when will mine run?". */
  runText(line: string, of: Typing): Promise<Reply>;
  /** Completions for an option of a command. */
  suggest(command: string, option: string, typed: string, asker: Asker): readonly Suggestion[];
  /** Makes a person known (idempotent): needed before they can ask. */
  welcome(asker: Asker, home: Address): Promise<void>;
  /** A person's name as one class may see it: classmates by name, others as "someone in another class". */
  nameFor(personId: PersonId, classId: string): string;
  /** The present board of a class. */
  board(classId: string): Board;
}

/** What `npm run check` says about a surface's set-up. */
export interface SetUpCheck {
  /** One line for each thing looked at, to print as it is. */
  readonly lines: readonly string[];
  /** Whether nothing has to be mended. */
  readonly ok: boolean;
}

export interface Surface {
  readonly name: string;
  /** Resolves when it can be used, or goes on trying by itself. */
  start(host: SurfaceHost): Promise<void>;
  /** Beyond a network: nothing else waits for its start. Until then `deliver` waits, or answers "retry". */
  readonly remote?: boolean;
  /** Whether several notices for one place may be merged into one message. */
  readonly merges: boolean;
  deliver(parcel: Parcel): Promise<Delivery>;
  stop(): Promise<void>;
}
