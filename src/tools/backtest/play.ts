/** Plays a truth night event by event: the telescope takes what the rule says, things take as long as they really do. */
import type { UtcMillis } from "../../base/units.js";
import type { NightInput } from "../../forecast/night-run.js";
import { firstStep } from "../../forecast/play-night.js";
import type { Pointing } from "../../observatory/observatory.js";
import { parkedPointing } from "../../observatory/pointing.js";
import type { Request, RuleName } from "../../queue/request.js";
import { Agenda, type Happening } from "./agenda.js";
import { type ActionDone, Telescope } from "./telescope.js";
import type { TruthNight } from "./truth/night.js";
import type { SecondLook, Watcher } from "./watcher.js";

/** A request that was completed, and the airmass when its exposures began. */
export interface Completion {
  readonly request: Request;
  readonly takenUnixMs: UtcMillis;
  readonly airmass: number;
}

export interface PlayedNight {
  readonly truth: TruthNight;
  readonly completions: readonly Completion[];
  /** By number: when the telescope first began to move for it; requests that never started are missing. */
  readonly startUnixMs: ReadonlyMap<number, UtcMillis>;
  /** By number: when it was withdrawn before it ever started. */
  readonly withdrawnUnixMs: ReadonlyMap<number, UtcMillis>;
  /** Waiting when the night was over. */
  readonly left: readonly Request[];
}

/** Plays one night to its end. @param measures what the telescope reports of its times */
export function playTruth(
  truth: TruthNight,
  rule: RuleName,
  measures: "components" | "total",
  watcher: Watcher,
  secondLook: SecondLook,
): Promise<PlayedNight> {
  return new Play(truth, rule, new Telescope(truth, measures), watcher, secondLook).toTheEnd();
}

class Play {
  private readonly events = new Agenda();
  private readonly waiting = new Map<number, Request>();
  private readonly taken = new Map<string, number>();
  private readonly starts = new Map<number, UtcMillis>();
  private readonly withdrawn = new Map<number, UtcMillis>();
  private readonly completions: Completion[] = [];
  private nowUnixMs: UtcMillis;
  private pointing: Pointing;
  private current: ActionDone | null = null;
  /** Reasons to hold that stand now: cloud, repairs. */
  private holds = 0;
  private looksUnixMs: UtcMillis = Number.POSITIVE_INFINITY;

  constructor(
    private readonly truth: TruthNight,
    private readonly rule: RuleName,
    private readonly telescope: Telescope,
    private readonly watcher: Watcher,
    private readonly secondLook: SecondLook,
  ) {
    this.nowUnixMs = truth.night.startUnixMs;
    this.pointing = parkedPointing(truth.observatory);
    for (const request of truth.requests) this.at(request.askedUnixMs, 2, () => this.ask(request));
    for (const { hold } of truth.cloud) {
      if (hold === null) continue;
      this.at(hold.fromUnixMs, 1, () => this.hold(1));
      this.at(hold.untilUnixMs, 1, () => this.hold(-1));
    }
  }

  async toTheEnd(): Promise<PlayedNight> {
    for (;;) {
      const next = this.events.next();
      if (next === null || next.unixMs >= this.truth.night.endUnixMs) break;
      this.nowUnixMs = next.unixMs;
      await next.happen();
      // Everything that happens at one instant has happened before the telescope decides.
      if (this.events.nextUnixMs() > this.nowUnixMs) await this.decide();
    }
    return {
      truth: this.truth,
      completions: this.completions,
      startUnixMs: this.starts,
      withdrawnUnixMs: this.withdrawn,
      left: [...this.waiting.values()],
    };
  }

  private at(unixMs: UtcMillis, rank: number, happen: Happening["happen"]): void {
    if (unixMs < Number.POSITIVE_INFINITY) this.events.add(unixMs, rank, happen);
  }

  private async ask(request: Request): Promise<void> {
    this.waiting.set(request.number, request);
    await this.watcher.asked(request);
    this.at(this.nowUnixMs, 3, () => this.lookUp(request));
    this.at(this.nowUnixMs + this.secondLook(request), 3, () => this.lookUp(request));
    this.at(this.truth.withdrawnUnixMs(request), 1, () => this.withdraw(request));
  }

  private async lookUp({ number }: Request): Promise<void> {
    const request = this.waiting.get(number);
    if (request !== undefined && !this.starts.has(number)) await this.watcher.question(request, this.view());
  }

  private async withdraw({ number }: Request): Promise<void> {
    const request = this.waiting.get(number);
    if (request === undefined) return;
    this.waiting.delete(number);
    if (!this.starts.has(number)) this.withdrawn.set(number, this.nowUnixMs);
    await this.watcher.withdrawn(request, this.nowUnixMs);
  }

  private async hold(change: 1 | -1): Promise<void> {
    const before = this.holds > 0;
    this.holds += change;
    if (before !== this.holds > 0) await this.watcher.held(this.holds > 0, this.nowUnixMs);
  }

  private async decide(): Promise<void> {
    if (this.current !== null || this.holds > 0 || this.waiting.size === 0) return;
    const step = firstStep(this.view());
    if (step.do === "take") await this.take(step.request, step.turn.freeUnixMs);
    else if (step.untilUnixMs !== this.looksUnixMs) {
      this.looksUnixMs = step.untilUnixMs;
      this.at(step.untilUnixMs, 4, () => {});
    }
  }

  private async take(waiting: Request, plannedFreeUnixMs: UtcMillis): Promise<void> {
    const request: Request = { ...waiting, state: "taken", takenUnixMs: this.nowUnixMs };
    this.waiting.delete(request.number);
    if (!this.starts.has(request.number)) this.starts.set(request.number, this.nowUnixMs);
    this.taken.set(request.owner, (this.taken.get(request.owner) ?? 0) + 1);
    this.current = this.telescope.act(request, this.nowUnixMs, this.pointing, plannedFreeUnixMs);
    this.pointing = this.current.pointingAfter;
    this.at(this.current.freeUnixMs, 0, () => this.finish());
    await this.watcher.taken(this.current);
  }

  private async finish(): Promise<void> {
    const done = this.current;
    if (done === null) return;
    this.current = null;
    const { request, fate, lost } = done;
    const failed = fate.fails || lost;
    const waitsAgain = failed && (!fate.fails || fate.again);
    if (waitsAgain) this.waiting.set(request.number, { ...request, state: "waiting", takenUnixMs: null });
    if (!failed) this.completions.push(done);
    await this.watcher.ended({
      action: done,
      outcome: failed ? "failed" : "completed",
      waitsAgain,
      endedUnixMs: this.nowUnixMs,
    });
    if (fate.fails && fate.repairMs > 0) {
      this.at(this.nowUnixMs + fate.repairMs, 1, () => this.hold(-1));
      await this.hold(1);
    }
  }

  /** All that can be known now: how long the action under way will really take is not among it. */
  private view(): NightInput {
    return {
      nowUnixMs: this.nowUnixMs,
      untilUnixMs: this.truth.night.endUnixMs,
      observatory: this.truth.observatory,
      overheads: this.watcher.overheads(),
      rule: this.rule,
      waiting: [...this.waiting.values()],
      current: this.current && {
        request: this.current.request,
        freeUnixMs: this.current.plannedFreeUnixMs,
      },
      pointing: this.pointing,
      holdUntilUnixMs: this.holds > 0 ? Number.POSITIVE_INFINITY : null,
      takenTonight: this.taken,
    };
  }
}
