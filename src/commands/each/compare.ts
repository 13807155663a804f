/** /compare: tonight's queue as it would go under each ordering rule. */

import { button } from "../../base/button.js";
import { count, listed } from "../../base/english.js";
import type { Phrase } from "../../base/phrase.js";
import { MINUTE, type Millis, SECOND } from "../../base/units.js";
import type { RunFigures } from "../../forecast/run-figures.js";
import { heldBy } from "../../journal/held-by.js";
import { airmassWords, duration } from "../../notices/words/amounts.js";
import { RULE_NAMES, type RuleName } from "../../queue/request.js";
import { defineCommand } from "../define.js";
import { drawn } from "../pictured.js";
import type { Reply, Table } from "../reply.js";
import type { Services } from "../services.js";

interface Compared {
  readonly rule: RuleName;
  readonly figures: RunFigures;
}

const COLUMNS = ["rule", "done", "airmass mean, worst", "wait median, worst", "shared", "moving", "exposing"];
const MEANING =
  "Waits count from asking, or from a later time that was asked for. Shared is the Gini coefficient: 0 when all have equally many turns, towards 1 when few have them all.";

export const compare = defineCommand({
  name: "compare",
  who: "instructor",
  help: "Tonight's queue under each ordering rule: what gets done, how high, how long people wait.",
  otherwise: "/why and a request's number tells which rule placed it.",
  options: [],
  examples: ["/compare"],
  slow: true,
  answer: async ({ call, services }) => {
    const present = services.desk.state.rule ?? services.config.queue.rule;
    if (services.desk.state.waiting.size === 0) return nothingWaits(present);
    const all = await comparedRules(services);
    if (alike(all)) return noDifference(all, services);
    const best = bestOf(all);
    return {
      tone: "answer",
      title: titleOf(best, all, present),
      lines: [
        ...queueLines(all, services),
        ...droppedLine(all),
        [`${MEANING} The rule in use, ${present}, is marked.`],
      ],
      table: tableOf(all, present),
      ...(await chart(all, present, services)),
      actions: (best.some(({ rule }) => rule === present) ? [] : best.slice(0, 1)).map(({ rule }) =>
        button(`Use ${rule}`, "rule", { name: rule }, call.asker.id),
      ),
    };
  },
});

function nothingWaits(present: RuleName): Reply {
  return {
    tone: "answer",
    title: "Nothing is waiting, so every rule does the same",
    lines: [[`The rule is ${present}. /rule tells what it does.`]],
  };
}

/** All figures are the same as they are shown. */
function alike(all: readonly Compared[]): boolean {
  return new Set(all.map(({ figures }) => JSON.stringify(cellsOf(figures)))).size === 1;
}

function noDifference(all: readonly Compared[], services: Services): Reply {
  const { figures } = all[0] as Compared;
  return {
    tone: "answer",
    title: figures.completed === 0 ? "Nothing can run tonight under any rule" : alikeTitle(all, figures),
    lines: [...queueLines(all, services), [MEANING]],
    table: { columns: COLUMNS, rows: [[["any"], ...cellsOf(figures)]], ownRows: [] },
  };
}

function alikeTitle(all: readonly Compared[], { completed, meanAirmass }: RunFigures): string {
  const orders = new Set(all.map(({ figures }) => figures.order.join()));
  const what = orders.size === 1 ? "makes no difference now" : "changes nothing but the order now";
  return `The rule ${what}: ${count(completed, "request")} at airmass ${airmassWords(meanAirmass)}`;
}

/** One rule at a time, so that others are answered in between. */
async function comparedRules({ forecast }: Services): Promise<Compared[]> {
  const all: Compared[] = [];
  for (const rule of RULE_NAMES) {
    all.push({ rule, figures: await forecast.figuresUnder(rule) });
    await new Promise<void>((done) => setImmediate(done));
  }
  return all;
}

/** Those that complete most; of these, those at the lowest mean airmass as it is shown. */
function bestOf(all: readonly Compared[]): Compared[] {
  const most = Math.max(...all.map(({ figures }) => figures.completed));
  const full = all.filter(({ figures }) => figures.completed === most);
  const lowest = Math.min(...full.map(({ figures }) => shownAirmass(figures)));
  return full.filter(({ figures }) => most === 0 || shownAirmass(figures) === lowest);
}

function shownAirmass({ meanAirmass }: RunFigures): number {
  return Number(meanAirmass.toFixed(2));
}

function titleOf(best: readonly Compared[], all: readonly Compared[], present: RuleName): string {
  const first = best[0]?.figures as RunFigures;
  const names = listed(best.map(({ rule }) => rule));
  const done = count(first.completed, "request");
  if (best.length === all.length)
    return `Every rule completes ${done} at mean airmass ${airmassWords(first.meanAirmass)}`;
  const verb = best.length === 1 ? "does" : "do";
  const now = best.some(({ rule }) => rule === present) ? "" : `; ${present} is in use`;
  return `${names} ${verb} best: ${done} at mean airmass ${airmassWords(first.meanAirmass)}${now}`;
}

/** What waits, and how much of it the best rule leaves over. */
function queueLines(all: readonly Compared[], { desk }: Services): Phrase[] {
  const { hold, waiting } = desk.state;
  const held = (hold !== null && hold.untilUnixMs === null) || heldBy(desk.state) !== null;
  const most = Math.max(...all.map(({ figures }) => figures.completed));
  const left = waiting.size - most;
  return [
    ...(held ? [["Reckoned as if the telescope could go on now."]] : []),
    [
      left === 0
        ? `${waiting.size === 1 ? "The one request that waits" : `All ${waiting.size} requests that wait`} can run before dawn under ${alike(all) ? "any" : "the best"} rule.`
        : `${count(waiting.size, "request")} ${waiting.size === 1 ? "waits" : "wait"}; at least ${left} will be left over at dawn.`,
    ],
  ];
}

/** Who pays for it where a plan gets more done: mostly the long ones. */
function droppedLine(all: readonly Compared[]): Phrase[] {
  const dropped = all.find(({ rule }) => rule === "planned")?.figures.droppedSeconds ?? [];
  const [longest] = dropped;
  if (longest === undefined) return [];
  const middle = dropped[Math.floor(dropped.length / 2)] as number;
  const they =
    dropped.length === 1
      ? "it asks for"
      : `half of them ask for at least ${duration(middle * SECOND)}, the longest for`;
  return [
    [
      `planned drops ${count(dropped.length, "request")} that could be observed: ${they} ${duration(longest * SECOND)} of exposure.`,
    ],
  ];
}

function tableOf(all: readonly Compared[], present: RuleName): Table {
  return {
    columns: COLUMNS,
    rows: all.map(({ rule, figures }) => [[rule], ...cellsOf(figures)]),
    ownRows: all.flatMap(({ rule }, index) => (rule === present ? [index] : [])),
  };
}

function cellsOf(figures: RunFigures): Phrase[] {
  const { completed, meanAirmass, worstAirmass, medianWaitMs, worstWaitMs } = figures;
  const pair = (one: string, other: string): Phrase => [completed === 0 ? "–" : `${one}, ${other}`];
  return [
    [String(completed)],
    pair(airmassWords(meanAirmass), airmassWords(worstAirmass)),
    pair(duration(medianWaitMs), duration(worstWaitMs)),
    [figures.turnsGini.toFixed(2)],
    [minutes(figures.movingMs)],
    [minutes(figures.exposingMs)],
  ];
}

function minutes(ms: Millis): string {
  return `${Math.round(ms / MINUTE)} min`;
}

async function chart(
  all: readonly Compared[],
  present: RuleName,
  services: Services,
): Promise<Pick<Reply, "picture">> {
  return drawn(services, () =>
    services.pictures.compare({
      rules: all.map(({ rule, figures }) => ({
        rule,
        inUse: rule === present,
        requestsCompleted: figures.completed,
        turnsGini: figures.turnsGini,
        meanAirmass: figures.meanAirmass,
        worstAirmass: figures.worstAirmass,
        medianWaitMinutes: figures.medianWaitMs / MINUTE,
        worstWaitMinutes: figures.worstWaitMs / MINUTE,
        minutesMoving: figures.movingMs / MINUTE,
        minutesExposing: figures.exposingMs / MINUTE,
      })),
    }),
  );
}
