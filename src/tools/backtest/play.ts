/** Plays a truth night event by event: the telescope takes what the rule says, things take as long as they really do. */
import { MINUTE, type Millis, type UtcMillis } from "../../base/units.js";
import type { NightInput } from "../../forecast/night-run.js";
import { planNight } from "../../forecast/plan-night.js";
import { firstStep } from "../../forecast/play-night.js";
import type { Pointing } from "../../observatory/observatory.js";
import { parkedPointing } from "../../observatory/pointing.js";
import { NO_PLAN } from "../../queue/planner/plan.js";
import type { Request, RuleName } from "../../queue/request.js";
import { Agenda, type Happening } from "./agenda.js";
import { type ActionDone, Telescope } from "./telescope.js";
import type { TruthNight } from "./truth/night.js";
import { type Channel, nobody, type SecondLook, type Watcher } from "./watcher.js";

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

/** As often as that is in the season's reach: at the telescope it is made with every request. */
const PLAN_KEEPS: Millis = 15 * MINUTE;

/** A night that is under way: what can be seen of it, and how its action will turn out. */
export interface UnderWay {
  readonly night: NightInput;
  readonly current: ActionDone | null;
}

/** Plays a night that is under way on until a request is taken. Resolves to when that is; null for not that night. */
export async function playOnUntil(
  number: number,
  { night, current }: UnderWay,
  truth: TruthNight,
): Promise<UtcMillis | null> {
  const play = new Play(
    truth,
    night.rule,
    new Telescope(truth, "total"),
    knowing(night),
    () => Number.POSITIVE_INFINITY,
  );
  const { startUnixMs } = await play.resume(night, current).toTheEnd(number);
  return startUnixMs.get(number) ?? null;
}

const knowing = ({ overheads }: NightInput): Watcher => ({ ...nobody, overheads: () => overheads });

class Play {
  private readonly events = new Agenda();
  private readonly waiting = new Map<number, Request>();
  private readonly taken = new Map<string, number>();
  private readonly starts = new Map<number, UtcMillis>();
  private readonly withdrawn = new Map<number, UtcMillis>();
  private readonly completions: Completion[] = [];
  /** Withdrawn before they started: followed until their turn would have come. */
  private readonly gone = new Map<number, Request>();
  private nowUnixMs: UtcMillis;
  private pointing: Pointing;
  private current: ActionDone | null = null;
  /** Reasons to hold that stand now, cloud and repairs, each with the end that was said; Infinity for none. */
  private readonly holds: { saidUnixMs: UtcMillis }[] = [];
  private heldSaid: UtcMillis | null = null;
  private looksUnixMs: UtcMillis = Number.POSITIVE_INFINITY;
  /** What `planned` follows, and since when; those who came since are put in as the night is played on. */
  private plan = NO_PLAN;
  private plannedUnixMs: UtcMillis = Number.NEGATIVE_INFINITY;

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
      this.at(hold.fromUnixMs, 1, () => this.hold(hold.untilUnixMs, hold.saidUnixMs));
    }
  }

  /** From the middle of the night; of the truth's requests those count that are still to come. */
  resume({ nowUnixMs, waiting, pointing, takenTonight }: NightInput, current: ActionDone | null): this {
    this.nowUnixMs = nowUnixMs;
    this.pointing = pointing;
    for (const request of waiting) {
      this.waiting.set(request.number, request);
      this.at(this.truth.withdrawnUnixMs(request), 1, () => this.withdraw(request));
    }
    for (const [owner, count] of takenTonight) this.taken.set(owner, count);
    this.current = current;
    this.at(current?.freeUnixMs ?? nowUnixMs, 0, () => this.finish());
    return this;
  }

  /** @param until the night is over when this request has been taken */
  async toTheEnd(until?: number): Promise<PlayedNight> {
    while (until === undefined || !this.starts.has(until)) {
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
    this.at(this.nowUnixMs, 3, () => this.lookUp(request, "request"));
    this.at(this.nowUnixMs + this.secondLook(request), 3, () => this.lookUp(request, "when"));
    this.at(this.truth.withdrawnUnixMs(request), 1, () => this.withdraw(request));
  }

  private async lookUp({ number }: Request, shownIn: Channel): Promise<void> {
    const request = this.waiting.get(number);
    if (request === undefined || this.starts.has(number)) return;
    await this.watcher.question(request, this.view(), shownIn);
  }

  private async withdraw({ number }: Request): Promise<void> {
    const request = this.waiting.get(number);
    if (request === undefined) return;
    this.waiting.delete(number);
    if (!this.starts.has(number)) {
      this.withdrawn.set(number, this.nowUnixMs);
      if (this.watcher.wouldHaveStarted) this.gone.set(number, request);
    }
    await this.watcher.withdrawn(request, this.nowUnixMs);
  }

  /** A reason to hold, until it is over. What was said of its end is taken back when that has come too soon. */
  private async hold(untilUnixMs: UtcMillis, said: UtcMillis | null): Promise<void> {
    const reason = { saidUnixMs: said ?? Number.POSITIVE_INFINITY };
    this.holds.push(reason);
    this.at(untilUnixMs, 1, () => {
      this.holds.splice(this.holds.indexOf(reason), 1);
      return this.tellHold();
    });
    if (reason.saidUnixMs < untilUnixMs)
      this.at(reason.saidUnixMs, 1, () => {
        reason.saidUnixMs = Number.POSITIVE_INFINITY;
        return this.tellHold();
      });
    await this.tellHold();
  }

  /** Tells of the hold where it has changed. */
  private async tellHold(): Promise<void> {
    const said = this.holds.length === 0 ? null : Math.max(...this.holds.map(({ saidUnixMs }) => saidUnixMs));
    if (said === this.heldSaid) return;
    this.heldSaid = said;
    const end = said === Number.POSITIVE_INFINITY ? null : said;
    await this.watcher.held(said !== null, this.nowUnixMs, end);
  }

  private async decide(): Promise<void> {
    if (this.current !== null || this.holds.length > 0) return;
    if (this.waiting.size > 0) this.planAnew();
    while (this.waiting.size + this.gone.size > 0) {
      const step = firstStep(this.view([...this.waiting.values(), ...this.gone.values()]));
      if (step.do === "wait") {
        if (step.untilUnixMs !== this.looksUnixMs) {
          this.looksUnixMs = step.untilUnixMs;
          this.at(step.untilUnixMs, 4, () => {});
        }
        return;
      }
      const { request, turn } = step;
      if (!this.gone.delete(request.number)) return this.take(request, turn.freeUnixMs);
      await this.watcher.wouldHaveStarted?.(request, this.nowUnixMs);
    }
  }

  private planAnew(): void {
    if (this.rule !== "planned" || this.nowUnixMs < this.plannedUnixMs + PLAN_KEEPS) return;
    this.plan = planNight(this.view());
    this.plannedUnixMs = this.nowUnixMs;
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
    if (fate.fails && fate.repairMs > 0) await this.hold(this.nowUnixMs + fate.repairMs, null);
  }

  /** All that can be known now: how long the action under way will really take is not among it. */
  private view(waiting = [...this.waiting.values()]): NightInput {
    return {
      nowUnixMs: this.nowUnixMs,
      untilUnixMs: this.truth.night.endUnixMs,
      observatory: this.truth.observatory,
      overheads: this.watcher.overheads(),
      rule: this.rule,
      plan: this.plan,
      waiting,
      current: this.current && {
        request: this.current.request,
        freeUnixMs: this.current.plannedFreeUnixMs,
      },
      pointing: this.pointing,
      holdUntilUnixMs: this.heldSaid,
      takenTonight: this.taken,
    };
  }
}
