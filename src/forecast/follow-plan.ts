/** The plan of a night as the engine follows it. */
import { DAY } from "../base/units.js";
import type { Moment } from "../queue/moment.js";
import { Course } from "../queue/planner/course.js";
import { planQueue } from "../queue/planner/plan-queue.js";
import { type PlannerMachines, Problem } from "../queue/planner/problem.js";
import { OVERDUE_NIGHTS } from "../queue/planner/worth.js";
import type { QueueTable } from "../queue/queue-table.js";
import { nightOf } from "../sky/night.js";
import type { NightInput } from "./night-run.js";
import { startOf } from "./night-start.js";

/** Rounds of search where nobody says how many. */
export const ROUNDS = 1;

/** The input's plan, or one made now where it has none. @param adapts see `Course` */
export function courseOf(
  input: NightInput,
  moment: Moment,
  machines: PlannerMachines,
  adapts: boolean,
): Course {
  const { pointing } = machines;
  const problem = problemOf(input, moment.table, machines);
  const course = new Course(moment, problem, input.plan ?? planQueue(problem, { rounds: ROUNDS }), adapts);
  machines.pointing = pointing;
  return course;
}

/** What the planner is asked: from when the telescope is free until the night's end. */
export function problemOf(input: NightInput, table: QueueTable, machines: PlannerMachines): Problem {
  const { observatory, untilUnixMs, nowUnixMs } = input;
  const start = startOf(input);
  return new Problem({
    fromUnixMs: start < untilUnixMs ? start : nowUnixMs,
    untilUnixMs,
    site: observatory.site,
    table,
    machines,
    waitingRows: input.waiting.length,
    overdue: overdueIn(input, table),
  });
}

/** Left out on so many nights already: asked for, and not before, before the last of them began. */
function overdueIn({ nowUnixMs, observatory }: NightInput, table: QueueTable): (row: number) => boolean {
  const { timeZone } = observatory.site;
  let night = nightOf(nowUnixMs, timeZone);
  for (let back = 1; back < OVERDUE_NIGHTS; back++) night = nightOf(night.startUnixMs - DAY / 2, timeZone);
  const { startUnixMs } = night;
  return (row) => Math.max(table.askedUnixMs[row]!, table.notBeforeUnixMs[row]!) < startUnixMs;
}
