/** Keeps what it takes to play a told night again, and names the cause when an estimate has moved. */
import type { Clock } from "../base/clock.js";
import { DAY, type Millis, type UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import type { ForecastService } from "../forecast/forecast-service.js";
import type { NightInput } from "../forecast/night-run.js";
import { type Happened, Replay } from "../forecast/what-moved.js";
import type { Desk } from "../journal/desk.js";
import type { Entry, NightslateEvent } from "../journal/events.js";
import type { UnexplainedMove } from "../notices/moves.js";
import { moveCauseClause } from "../notices/words/move-causes.js";
import type { Request } from "../queue/request.js";
import type { Interval } from "../sky/interval.js";
import { nightInput } from "./night-input.js";

export interface MoveExplainerParts {
  readonly desk: Desk;
  readonly forecast: Pick<ForecastService, "overheads">;
  readonly config: Config;
  readonly clock: Clock;
}

/** Playing longer queues again would keep people waiting for their answers. */
const LONGEST_QUEUE = 600;
const KEPT: Millis = DAY;
const MOST_SNAPSHOTS = 200;
/** So many told nights are played again at one look; of each, a dozen variants. */
const MOST_REPLAYS = 12;

type Dated<Thing> = Thing & { readonly atUnixMs: UtcMillis };
type Note =
  | Dated<{ readonly what: "made" | "again"; readonly request: Request }>
  | Dated<{ readonly what: "gone"; readonly numbers: readonly number[] }>
  | Dated<{ readonly what: "held" | "late"; readonly interval: Interval }>;

export class MoveExplainer {
  private readonly told = new Map<UtcMillis, NightInput>();
  private readonly replays = new Map<UtcMillis, Replay>();
  private notes: Note[] = [];
  private heldSinceUnixMs: UtcMillis | null;
  private promised: { readonly number: number; readonly freeUnixMs: UtcMillis } | null;
  private readonly silence: () => void;

  constructor(private readonly parts: MoveExplainerParts) {
    const { hold, taken } = parts.desk.state;
    this.heldSinceUnixMs = hold?.sinceUnixMs ?? null;
    this.promised = taken;
    this.silence = parts.desk.listen((entry) => this.note(entry));
  }

  stop(): void {
    this.silence();
  }

  /** One clause, null when no single thing explains enough; undefined when that night cannot be played again. */
  explain({ number, toldUnixMs, fromUnixMs, startUnixMs }: UnexplainedMove): string | null | undefined {
    const { desk, config } = this.parts;
    if (desk.state.hold !== null) return "the telescope is on hold";
    const told = this.told.get(toldUnixMs);
    if (!told?.waiting.some((request) => request.number === number)) return undefined;
    if (!this.replays.has(toldUnixMs) && this.replays.size >= MOST_REPLAYS) return undefined;
    const replay = this.replays.get(toldUnixMs) ?? new Replay(told, this.happenedSince(toldUnixMs));
    this.replays.set(toldUnixMs, replay);
    const end = told.untilUnixMs;
    const shiftMs =
      fromUnixMs === null && startUnixMs === null ? 0 : (startUnixMs ?? end) - (fromUnixMs ?? end);
    const open = fromUnixMs !== null && startUnixMs !== null;
    const cause = replay.causeFor(number, open ? shiftMs : Math.sign(shiftMs) * Number.POSITIVE_INFINITY);
    return cause && moveCauseClause(cause, config.tiers);
  }

  private happenedSince(toldUnixMs: UtcMillis): Happened {
    const { desk, config, forecast } = this.parts;
    const since = this.notes.filter((note) => note.atUnixMs > toldUnixMs);
    const intervals = (what: "held" | "late"): Interval[] =>
      since.flatMap((note) => (note.what === what ? [note.interval] : []));
    const requests = (what: "made" | "again"): Request[] =>
      since.flatMap((note) => (note.what === what ? [note.request] : []));
    return {
      made: requests("made"),
      again: requests("again"),
      gone: since.flatMap((note) => (note.what === "gone" ? note.numbers : [])),
      held: intervals("held"),
      late: intervals("late"),
      rule: desk.state.rule ?? config.queue.rule,
      overheads: forecast.overheads(),
    };
  }

  private note(entry: Entry): void {
    this.replays.clear();
    for (const event of entry.events) {
      const note = this.noteFrom(event, entry.atUnixMs);
      if (note) this.notes.push(note);
      if (event.type === "estimates.told" || event.type === "estimates.moved") this.remember(entry.atUnixMs);
    }
    const oldest = this.notes[0];
    if (oldest && oldest.atUnixMs < entry.atUnixMs - 2 * KEPT)
      this.notes = this.notes.filter((each) => each.atUnixMs >= entry.atUnixMs - KEPT);
  }

  private remember(atUnixMs: UtcMillis): void {
    const { desk, config, forecast } = this.parts;
    if (desk.state.waiting.size > LONGEST_QUEUE) return;
    this.told.set(atUnixMs, nightInput(desk.state, config, atUnixMs, forecast.overheads()));
    if (this.told.size > MOST_SNAPSHOTS) this.told.delete(this.told.keys().next().value as UtcMillis);
  }

  private noteFrom(event: NightslateEvent, atUnixMs: UtcMillis): Note | null {
    const { requests } = this.parts.desk.state;
    switch (event.type) {
      case "request.made":
        return { what: "made", atUnixMs, request: requests.get(event.number) as Request };
      case "request.returned": {
        const request = requests.get(event.number) as Request;
        return { what: "again", atUnixMs, request: { ...request, askedUnixMs: atUnixMs } };
      }
      case "request.withdrawn":
        return { what: "gone", atUnixMs, numbers: [event.number] };
      case "requests.cancelled":
        return { what: "gone", atUnixMs, numbers: event.numbers };
      case "hold.placed":
        this.heldSinceUnixMs ??= atUnixMs;
        return null;
      case "hold.lifted": {
        const openUnixMs = this.heldSinceUnixMs ?? atUnixMs;
        this.heldSinceUnixMs = null;
        return { what: "held", atUnixMs, interval: { openUnixMs, closeUnixMs: atUnixMs } };
      }
      case "request.taken":
        this.promised = event;
        return null;
      case "request.completed":
      case "request.failed":
        return this.lateNote(event.number, atUnixMs);
      default:
        return null;
    }
  }

  private lateNote(number: number, atUnixMs: UtcMillis): Note | null {
    const { promised } = this;
    if (promised?.number !== number || promised.freeUnixMs >= atUnixMs) return null;
    return { what: "late", atUnixMs, interval: { openUnixMs: promised.freeUnixMs, closeUnixMs: atUnixMs } };
  }
}
