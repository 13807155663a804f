/** The planner's question and answer for a night: what `planned` follows. */
import { DAY } from "../base/units.js";
import type { Moment } from "../queue/moment.js";
import { Course } from "../queue/planner/course.js";
import type { Plan } from "../queue/planner/plan.js";
import { planQueue } from "../queue/planner/plan-queue.js";
import { type PlannerMachines, Problem } from "../queue/planner/problem.js";
import { OVERDUE_NIGHTS } from "../queue/planner/worth.js";
import { type QueueTable, queueTable } from "../queue/queue-table.js";
import { targetNights } from "../queue/target-night.js";
import { nightOf } from "../sky/night.js";
import { Machines } from "./machines.js";
import type { NightInput } from "./night-run.js";
import { startOf } from "./night-start.js";

/** Nobody has planned yet. */
export const NO_PLAN: Plan = { order: [], waits: [], left: [] };
/** Rounds of search where nobody says how many. */
const ROUNDS = 1;

/**
 * A plan for the rest of the night; the one that the input brings is kept unless another is really better.
 * Deterministic; a long queue takes some tenths of a second: not for where somebody waits.
 */
export function planNight(input: NightInput, rounds = ROUNDS): Plan {
  const { observatory, overheads, pointing, waiting, plan } = input;
  const machines = new Machines(observatory, overheads, pointing);
  const table = queueTable(waiting, targetNights(input.nowUnixMs, observatory), (request) =>
    machines.exposingMs(request),
  );
  return planQueue(problemOf(input, table, machines), { rounds, ...(plan ? { old: plan } : {}) });
}

/** The plan of an input as a moment follows it; made now where there is none. @param adapts see `Course` */
export function courseOf(
  input: NightInput,
  moment: Moment,
  machines: PlannerMachines,
  adapts: boolean,
): Course {
  const { pointing } = machines;
  const plan = input.plan ?? planNight(input);
  const problem = problemOf(input, moment.table, machines);
  const course = new Course(moment, problem, plan, adapts);
  machines.pointing = pointing;
  return course;
}

function problemOf(input: NightInput, table: QueueTable, machines: PlannerMachines): Problem {
  const { observatory, untilUnixMs, nowUnixMs } = input;
  const start = startOf(input);
  const fromUnixMs = start < untilUnixMs ? start : nowUnixMs;
  return new Problem({
    fromUnixMs,
    untilUnixMs,
    site: observatory.site,
    table,
    machines,
    waitingRows: input.waiting.length,
    overdue: overdueIn(input, table),
  });
}

/** Left out on so many nights already: asked for, and not before, as long ago. */
function overdueIn({ nowUnixMs, observatory }: NightInput, table: QueueTable): (row: number) => boolean {
  const { startUnixMs } = nightOf(nowUnixMs, observatory.site.timeZone);
  // A night with a change of clocks is an hour shorter or longer.
  const before = startUnixMs - (OVERDUE_NIGHTS - 0.5) * DAY;
  return (row) => Math.max(table.askedUnixMs[row]!, table.notBeforeUnixMs[row]!) < before;
}
