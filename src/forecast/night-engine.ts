/** The night engine: decides one turn after another. The forecast and the telescope both run it. */
import type { Millis, UtcMillis } from "../base/units.js";
import { bestOfOthers, choose, whyBefore } from "../queue/choose.js";
import type { Decider } from "../queue/decider.js";
import { type Durations, Moment } from "../queue/moment.js";
import type { Plan } from "../queue/planner/plan.js";
import { NONE, type QueueTable, queueTable } from "../queue/queue-table.js";
import { orderingRules } from "../queue/rules/all-rules.js";
import type { OrderingRule } from "../queue/rules/ordering-rule.js";
import { targetNights } from "../queue/target-night.js";
import { WaitingLists } from "../queue/waiting-lists.js";
import { waitForHeight } from "../queue/worth-waiting.js";
import type { Track } from "../sky/track.js";
import { courseOf } from "./follow-plan.js";
import { Machines } from "./machines.js";
import type { NightInput, Turn } from "./night-run.js";

export class NightEngine implements Durations {
  readonly table: QueueTable;
  /** By row: 1 once it has been taken. */
  readonly taken: Uint8Array;
  readonly shortestReadyMs: Millis;
  readonly longestReadyMs: Millis;
  readonly handOverMs: Millis;
  private readonly machines: Machines;
  private readonly lists: WaitingLists;
  private readonly moment: Moment;
  private readonly rule: OrderingRule;

  constructor(input: NightInput) {
    const { observatory, overheads, pointing } = input;
    this.machines = new Machines(observatory, overheads, pointing);
    this.shortestReadyMs = this.machines.shortestReadyMs;
    this.longestReadyMs = this.machines.longestReadyMs;
    this.handOverMs = this.machines.handOverMs;
    this.table = queueTable(input.waiting, targetNights(input.nowUnixMs, observatory), (request) =>
      this.machines.exposingMs(request),
    );
    this.taken = new Uint8Array(this.table.requests.length);
    this.lists = new WaitingLists(this.table, input.takenTonight);
    this.moment = new Moment(this.table, this.lists, this, observatory.site, input.untilUnixMs);
    waitForHeight(this.moment, input.worthwhileAltitudeDegrees);
    this.rule = orderingRules[input.rule];
    if (input.rule === "planned") this.moment.course = courseOf(input, this.moment, this.machines, false);
  }

  /** The row to take at an instant, NONE when nobody may be taken then. Instants never run backwards. */
  decideAt(unixMs: UtcMillis): number {
    this.moment.moveTo(unixMs);
    return choose(this.moment, this.rule);
  }

  /** Why `row`, just decided, stands before another that waits: what the rule compared, or why the other was no rival. */
  whyNow(row: number, other: number): Decider {
    const { moment, rule } = this;
    return moment.hindrance(other) ?? whyBefore(moment, rule, row, other);
  }

  /** When to look again after NONE: the next instant at which something can change; Infinity for never. */
  nextChange(): UtcMillis {
    return this.moment.nextChange();
  }

  /** Takes the row just decided: the machines move, it waits no more. */
  take(row: number): Turn {
    const { moment, machines } = this;
    const other = bestOfOthers(moment, this.rule, row);
    const decider = whyBefore(moment, this.rule, row, other);
    const aheadOf = other === NONE ? null : this.table.requests[other]!.number;
    this.taken[row] = 1;
    this.lists.remove(row);
    this.lists.count(row);
    return machines.act(this.trackOf(row), moment.nowUnixMs, this.table.requests[row]!, decider, aheadOf);
  }

  /** The plan that is followed, with the newcomers in it; null under another rule. */
  mendedPlan(): Plan | null {
    return this.moment.course?.plan() ?? null;
  }

  readyMs(row: number, unixMs: UtcMillis): Millis {
    return this.machines.times(this.trackOf(row), unixMs, this.table.requests[row]!).readyMs;
  }

  private trackOf(row: number): Track {
    return this.table.groups[this.table.group[row]!]!.night.track;
  }
}
