/** A telescope worked by hand whose frames are found: a frame says by itself that its request is taken, the last that it is done. */
import { basename } from "node:path";
import { Refusal } from "../../base/refusal.js";
import { takeOnWord } from "../../estimates/taking.js";
import type { NightslateEvent } from "../../journal/events.js";
import type { State } from "../../journal/state.js";
import { fieldDegrees } from "../../observatory/photometry.js";
import type { Request } from "../../queue/request.js";
import { nightOf } from "../../sky/night.js";
import type { FitsSource } from "../frames/byte-reader.js";
import { isUnreadable } from "../frames/fits-headers.js";
import { frameOrder } from "../frames/frame-order.js";
import type { FrameStore } from "../frames/frame-store.js";
import { keepHanded } from "../frames/handed-frames.js";
import type { Action, KeepFrame, LinkHost, Progress, TelescopeLink, Work } from "../link.js";
import { operatedTraits, takenToBeOpen } from "../operated.js";
import type { FrameFacts } from "./frame-facts.js";
import { type Candidate, type MatchLimits, matchFrame } from "./match-frame.js";

export interface FolderParts {
  /** What a file's header says: `readFacts`. */
  readonly read: (path: string) => Promise<FrameFacts>;
  readonly frames: FrameStore<FitsSource>;
  /**
   * Watches the folder.
   * @param onWhole called with the path of each file that is whole
   * @returns ends the watch
   */
  readonly watch: (onWhole: (path: string) => void, host: LinkHost) => () => Promise<void>;
}

interface UnderWay {
  readonly action: Action;
  readonly progress: Progress;
  /** Frames given so far. */
  given: number;
}

interface SetAside {
  /** A clause: what the operator was told. */
  readonly trouble: string;
  /** The queue may move so that it fits; a file that cannot be read has to change itself. */
  readonly mayFit: boolean;
}

/** Frames that fit nothing yet are looked at again when the queue moves; of more, the oldest are let go. */
const MOST_UNPLACED = 500;
/** So many are named to the operator; the log has all. */
const MOST_NAMED = 3;

export class FolderLink implements TelescopeLink {
  readonly traits = operatedTraits;
  readonly frames: TelescopeLink["frames"];
  private host: LinkHost | null = null;
  private under: UnderWay | null = null;
  /** One file after the other. */
  private turn: Promise<void> = Promise.resolve();
  /** By path. */
  private readonly unplaced = new Map<string, SetAside>();
  private unwatch: () => Promise<void> = async () => {};
  /** Files found and not looked at yet, and what is to be said once all are. */
  private left = 0;
  private untold: { readonly name: string; readonly why: string }[] = [];
  private closed = false;

  constructor(private readonly parts: FolderParts) {
    this.frames = parts.frames;
  }

  async start(host: LinkHost): Promise<void> {
    this.host = host;
    await takenToBeOpen(host);
    this.unwatch = this.parts.watch((path) => this.found(path), host);
  }

  begin(action: Action, progress: Progress): Work {
    this.under = { action, progress, given: action.framesDone };
    // The operator reads what to stop in a notice of the journal's.
    return {
      stop: async () => {
        this.under = null;
      },
    };
  }

  async stopLeftOver(): Promise<void> {}

  /** What fitted nothing may fit now. */
  heard(events: readonly NightslateEvent[]): void {
    if (!events.some(({ type }) => type.startsWith("request.") || type === "hold.lifted")) return;
    for (const [path, { mayFit }] of this.unplaced) if (mayFit) this.found(path);
  }

  /** In its turn, so that a frame that is found meanwhile is the next one. */
  handOver<T>(work: (keep: KeepFrame) => Promise<T>): Promise<T> {
    const { frames } = this.parts;
    const host = this.host as LinkHost;
    const done = this.turn.then(() =>
      work((request, index, source) => keepHanded(request, index, source, frames, host)),
    );
    this.turn = done.then(
      () => {},
      () => {},
    );
    return done;
  }

  async close(): Promise<void> {
    this.closed = true;
    await this.unwatch();
    await this.turn;
  }

  /** A file is whole: it is placed after those found before it. */
  found(path: string): void {
    this.left += 1;
    this.turn = this.turn.then(async () => {
      this.left -= 1;
      if (this.closed) return;
      try {
        const trouble = await this.place(path);
        if (trouble === null) this.unplaced.delete(path);
        else this.setAside(path, { trouble, mayFit: true });
      } catch (error) {
        this.setAside(path, { trouble: plainWords(error as Error), mayFit: !isUnreadable(error as Error) });
      }
      if (this.left === 0 && this.untold.length > 0) await this.tell();
    });
  }

  /** Resolves when every file found so far has been looked at. */
  settled(): Promise<void> {
    return this.turn;
  }

  /** @returns why it could not be placed, a clause; null when it was, or is none of tonight's */
  private async place(path: string): Promise<string | null> {
    const host = this.host as LinkHost;
    const facts = await this.parts.read(path);
    if (this.isOld(facts) || this.isKept(facts)) return null;
    const match = matchFrame(facts, basename(path), host.state(), limitsOf(host));
    if (match.is === "unclear") return `${match.why}${nearestWords(match.candidates)}`;
    return this.give(path, facts, match.request);
  }

  /** A file that cannot be kept takes nothing; what cannot be taken is not read. */
  private async give(path: string, { startUnixMs }: FrameFacts, request: Request): Promise<string | null> {
    const { number } = request;
    const { act, state, forecast, clock, config } = this.host as LinkHost;
    const taking = (now: State): NightslateEvent[] => takeOnWord(now, number, clock.now(), forecast);
    const waits = request.state !== "taken";
    if (waits) taking(state());
    const order = frameOrder({ request, index: this.nextIndex(request), startUnixMs }, state(), config);
    const record = await this.parts.frames.keep(order, { path });
    if (waits) await act(taking, {});
    const { under } = this;
    if (under?.action.request.number !== number) return "its request is just being taken";
    under.given = record.index;
    await under.progress.frame(record, clock.now());
    if (under.given >= request.frames) await under.progress.ended(clock.now());
    return null;
  }

  /** One that waits begins anew, though it may have been under way before. */
  private nextIndex({ number, framesDone, state }: Request): number {
    if (state !== "taken") return 1;
    const { under } = this;
    return 1 + (under?.action.request.number === number ? under.given : framesDone);
  }

  private isOld({ startUnixMs }: FrameFacts): boolean {
    const { clock, config } = this.host as LinkHost;
    return startUnixMs < nightOf(clock.now(), config.observatory.site.timeZone).startUnixMs;
  }

  /** A camera exposes one frame at a time: one that began at the same instant is the same. */
  private isKept({ startUnixMs }: FrameFacts): boolean {
    for (const kept of (this.host as LinkHost).state().frames.values())
      if (kept.some((frame) => frame.startUnixMs === startUnixMs)) return true;
    return false;
  }

  private setAside(path: string, aside: SetAside): void {
    const { trouble, mayFit } = aside;
    const before = this.unplaced.get(path);
    this.unplaced.delete(path);
    this.unplaced.set(path, aside);
    const oldest = this.unplaced.size > MOST_UNPLACED ? this.unplaced.keys().next().value : undefined;
    if (oldest !== undefined) this.unplaced.delete(oldest);
    // That the queue has moved, and it still fits nothing, is no news.
    if (before && before.mayFit === mayFit) return;
    const name = basename(path).slice(0, 120);
    this.untold.push({ name, why: trouble });
    (this.host as LinkHost).log.warn({ file: name }, `a frame was not placed: ${trouble}`);
  }

  /** However many there are at once, the operator is told once; after a restart not again. */
  private async tell(): Promise<void> {
    const { act, log, clock, config } = this.host as LinkHost;
    const untold = this.untold.splice(0);
    const files = untold.slice(0, MOST_NAMED);
    const night = nightOf(clock.now(), config.observatory.site.timeZone).date;
    const onceKey = `unplaced:${night}:${untold.map(({ name }) => name).join()}`.slice(0, 500);
    await act(() => [{ type: "frames.unplaced", files, total: untold.length }], { onceKey }).catch(
      (error: Error) =>
        log.warn({ reason: error.message }, "frames that fit nothing could not be put before the operator"),
    );
  }
}

/** Coordinates of date, as many mounts give them, have moved by a third of a degree since 2000. */
const LEAST_TOLERANCE = 0.5;

function limitsOf({ config }: LinkHost): MatchLimits {
  const { observatory, telescope } = config;
  const { width, height } = fieldDegrees(observatory.camera);
  const toleranceDegrees =
    telescope.folder?.toleranceDegrees ?? Math.max(LEAST_TOLERANCE, width / 2, height / 2);
  return { observatory, toleranceDegrees };
}

/** "; nearest: #12 M13 (0.8° off); #15 M57 (filter R instead of V); with its number in its name, such as …". */
function nearestWords(candidates: readonly Candidate[]): string {
  if (candidates.length === 0) return "";
  const words = candidates.map(({ request, against }) => {
    const reasons = against.length > 0 ? ` (${against.join(", ")})` : "";
    return `#${request.number} ${request.target.name}${reasons}`;
  });
  const first = candidates[0]?.request.number;
  return `; nearest: ${words.join("; ")}; with the number in its name, such as #${first}, it is taken for that request`;
}

function plainWords(error: Error): string {
  return error instanceof Refusal || isUnreadable(error)
    ? error.message.replace(/\.$/, "")
    : `it could not be kept (${error.message})`;
}
