/** Makes the decisions that are to be stored in one write: each sees the ones before it, nobody else sees any yet. */
import type { Clock } from "../base/clock.js";
import type { Log } from "../base/log.js";
import { Refusal } from "../base/refusal.js";
import type { ActOptions, Decide, DeriveNotices } from "./desk.js";
import { type Draft, layerOver } from "./draft.js";
import type { Entry } from "./events.js";
import { applyEntry, applyEnvelope, applyEvent } from "./fold.js";
import type { Notice } from "./notice.js";
import { numberSkipped, objectionTo } from "./transitions.js";

export interface DecisionParts {
  readonly clock: Clock;
  readonly derive: DeriveNotices;
  readonly log: Log;
}

/** A new entry; the id of the entry that the same call made before; or nothing to store. */
export type Decision = { readonly entry: Entry } | { readonly repeatedId: number } | null;

export class Decisions {
  /** The entries to be stored, in order. */
  readonly entries: Entry[] = [];
  private top: Draft;

  constructor(
    private readonly live: Draft,
    private readonly parts: DecisionParts,
  ) {
    this.top = live;
  }

  /** What the next decision looks at. */
  get state(): Draft {
    return this.top;
  }

  /** @throws {Refusal} from `decide`, or code "impossible" when its events cannot follow */
  make(decide: Decide, options: ActOptions): Decision {
    const { top } = this;
    const onceKey = options.onceKey ?? null;
    const repeatedId = onceKey === null ? undefined : top.onceKeys.get(onceKey);
    if (repeatedId !== undefined) return { repeatedId };
    const atUnixMs = Math.max(options.atUnixMs ?? this.parts.clock.now(), top.lastEntryUnixMs);
    if (!Number.isFinite(atUnixMs)) throw new TypeError(`an act at ${atUnixMs} is at no time`);
    const events = decide(top, atUnixMs);
    if (events.length === 0) return null;
    const bare = { id: top.lastEntryId + 1, atUnixMs, by: options.by, onceKey, events };
    const notices = this.notices(bare, afterwards(top, bare));
    // As it will be read back, so that folding it now and after a restart cannot differ.
    const entry = JSON.parse(JSON.stringify({ ...bare, notices })) as Entry;
    if (top === this.live) this.top = layerOver(this.live);
    applyEntry(this.top, entry);
    this.entries.push(entry);
    return { entry };
  }

  /** A fault in the wording must not keep the telescope's facts out of the journal. */
  private notices(bare: Omit<Entry, "notices">, after: Draft): readonly Notice[] {
    try {
      return this.parts.derive(bare, this.top, after);
    } catch (error) {
      const events = bare.events.map(({ type }) => type);
      this.parts.log.error(
        { id: bare.id, events, error: String(error) },
        "no notices could be made for this entry",
      );
      return [];
    }
  }
}

/** The state after an entry, laid over the state before it. */
function afterwards(before: Draft, bare: Omit<Entry, "notices">): Draft {
  const after = layerOver(before);
  for (const event of bare.events) {
    const objection = objectionTo(after, event) ?? numberSkipped(after, event);
    if (objection) throw new Refusal("impossible", objection);
    applyEvent(after, event, bare.atUnixMs);
  }
  applyEnvelope(after, bare);
  return after;
}
