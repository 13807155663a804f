/**
 * Keeps the plan that the rule `planned` follows: made anew, off the main thread, when something has happened that
 * it did not foresee, and journalled before it counts, so that a restart, the forecast and the telescope follow the
 * same one. Meanwhile the old one is mended wherever it is followed.
 */
import { type Log, silentLog } from "../base/log.js";
import type { NightInput, NightRun } from "../forecast/night-run.js";
import { planNight } from "../forecast/plan-night.js";
import type { Desk } from "../journal/desk.js";
import { heldBy } from "../journal/held-by.js";
import type { State } from "../journal/state.js";
import { NO_PLAN, type Plan, samePlan } from "../queue/planner/plan.js";

export interface PlanKeeperParts {
  readonly desk: Desk;
  /** Tonight as it stands now. */
  readonly input: () => NightInput;
  /** Works a plan out elsewhere; null: here, at once. */
  readonly planner: ((input: NightInput) => Promise<Plan>) | null;
  readonly log?: Log;
}

export class PlanKeeper {
  /** Made, and on its way into the journal. */
  private pending: Plan | null = null;
  /** What the last plan was made for. */
  private cause: string | null = null;
  /** How many with a place in the plan have no turn as things stand: they run later than was planned. */
  private missed = 0;
  private due = false;
  private underWay: Promise<void> | null = null;
  private stopped = false;
  private readonly silence: () => void;

  constructor(private readonly parts: PlanKeeperParts) {
    this.silence = parts.desk.listen(() => this.follow());
  }

  /** What is followed now. */
  current(): Plan {
    return this.pending ?? this.parts.desk.state.plan?.plan ?? NO_PLAN;
  }

  /** Sees to it that there is a plan for the night as it stands, or one on its way. */
  follow(): void {
    const { desk, input, planner } = this.parts;
    const cause = `${causeOf(desk.state)}|${this.missed}`;
    if (this.stopped || cause === this.cause || desk.state.waiting.size === 0) return;
    const now = input();
    if (now.rule !== "planned") return;
    this.cause = cause;
    if (planner === null) {
      this.underWay = this.keep(planNight(ifOpen(now)));
      return;
    }
    this.due = true;
    this.underWay ??= this.work(planner);
  }

  /** Looks whether the night still goes by the plan. */
  look({ withoutTurn }: NightRun): void {
    this.missed =
      withoutTurn.size === 0 ? 0 : this.current().order.filter((each) => withoutTurn.has(each)).length;
    this.follow();
  }

  /** Resolves when no plan is being made. */
  async settled(): Promise<void> {
    this.follow();
    await this.underWay;
  }

  stop(): void {
    this.stopped = true;
    this.silence();
  }

  private async work(planner: NonNullable<PlanKeeperParts["planner"]>): Promise<void> {
    try {
      while (this.due && !this.stopped) {
        this.due = false;
        await this.keep(await planner(ifOpen(this.parts.input())));
      }
    } catch (error) {
      if (this.stopped) return;
      this.cause = null;
      (this.parts.log ?? silentLog).error({ reason: (error as Error).message }, "the plan is not up to date");
    } finally {
      this.underWay = null;
    }
  }

  private async keep(plan: Plan): Promise<void> {
    const { desk } = this.parts;
    const waits = (number: number): boolean => desk.state.waiting.has(number);
    if (this.stopped || samePlan(plan, this.current(), waits)) return;
    const afterEntry = desk.state.lastEntryId;
    this.pending = plan;
    try {
      await desk.act(() => [{ type: "plan.kept", plan, afterEntry }], { by: "forecast" });
    } catch (error) {
      this.cause = null;
      (this.parts.log ?? silentLog).warn({ reason: (error as Error).message }, "a plan was not kept");
    } finally {
      this.pending = null;
    }
  }
}

/** What a plan foresees: that those who wait are taken one after another and completed. All else is a cause for another. */
function causeOf(state: State): string {
  const { waiting, nextNumber, tally, hold, rule, night } = state;
  return [
    waiting.size + tally.attempts,
    nextNumber,
    tally.failures,
    hold?.sinceUnixMs,
    rule,
    night,
    heldBy(state),
  ].join("|");
}

/** A hold without an end may end at any time: the plan is for then. */
function ifOpen(input: NightInput): NightInput {
  return input.holdUntilUnixMs === Number.POSITIVE_INFINITY ? { ...input, holdUntilUnixMs: null } : input;
}
