/** /queue: the run order, with a chart. */

import { capital, count } from "../../base/english.js";
import { type Phrase, person, say } from "../../base/phrase.js";
import type { UtcMillis } from "../../base/units.js";
import type { Estimate } from "../../estimates/forecast-service.js";
import type { Request } from "../../queue/request.js";
import type { Call } from "../command.js";
import { defineCommand } from "../define.js";
import { groupOf, isMine, nameFor } from "../people/people.js";
import { drawn } from "../pictured.js";
import { label } from "../read/read-request.js";
import type { Reply, Table } from "../reply.js";
import type { Present, Services } from "../services.js";
import { startCell } from "../words/estimate-words.js";
import { heightWords } from "../words/height-words.js";
import { holdPhrase } from "../words/telescope-words.js";

/** Rows that are read in one go; own ones beyond are added. */
const MOST_ROWS = 15;

/** One line of the run order. */
interface Row {
  readonly request: Request;
  readonly estimate: Estimate;
  readonly own: boolean;
}

export const queue = defineCommand({
  name: "queue",
  who: "student",
  help: "The run order with estimated starts, yours marked, and a chart.",
  options: [
    {
      name: "scope",
      kind: "choice",
      choices: ["all", "group", "mine"],
      help: "Whose requests; all when left out",
    },
  ],
  examples: ["/queue", "/queue mine"],
  asks: true,
  ages: true,
  slow: true,
  answer: async ({ call, values, services }) => {
    const all = rowsOf(call, services);
    const chosen = scoped(all, values.scope ?? "all", call, services);
    const hold = holdPhrase(services);
    const own = chosen.filter((row) => row.own).length;
    return {
      tone: hold ? "warning" : "answer",
      title: titleFor(chosen, values.scope ?? "all"),
      lines: [...(hold ? [hold] : []), ...summary(all, own, call, services)],
      ...(chosen.length === 0 ? {} : { table: tableOf(chosen, call, services) }),
      ...(await chart(chosen, call, services)),
    };
  },
});

/** The one being observed now, then the run order; requests without a turn tonight last. */
function rowsOf({ asker }: Call, { desk, forecast }: Services): Row[] {
  const { requests, taken } = desk.state;
  const now = taken ? forecast.estimate(taken.number) : null;
  return [...(now ? [now] : []), ...forecast.order()].flatMap((estimate) => {
    const request = requests.get(estimate.number);
    return request ? [{ request, estimate, own: isMine(request, asker.id) }] : [];
  });
}

function scoped(
  rows: readonly Row[],
  scope: "all" | "group" | "mine",
  { asker }: Call,
  services: Services,
): Row[] {
  if (scope === "mine") return rows.filter((row) => row.own);
  if (scope === "all") return [...rows];
  const { state } = services.desk;
  const group = groupOf(asker.id, asker.classId, state, services.config);
  const near = (row: Row): boolean =>
    row.request.classId === asker.classId && group !== null && row.request.group === group;
  return rows.filter((row) => row.own || near(row));
}

function titleFor(rows: readonly Row[], scope: "all" | "group" | "mine"): string {
  const waiting = rows.filter((row) => row.request.state === "waiting").length;
  const whose = { all: "", group: " of your group", mine: " of yours" }[scope];
  return capital(`${count(waiting, "request")}${whose} waiting`);
}

function summary(all: readonly Row[], own: number, { asker }: Call, { desk, config }: Services): Phrase[] {
  const rule = desk.state.rule ?? config.queue.rule;
  const waiting = all.filter((row) => row.request.state === "waiting");
  const others = waiting.filter((row) => row.request.classId !== asker.classId).length;
  const unseen =
    others === 0 ? "" : ` ${others} of those in the queue ${others === 1 ? "is" : "are"} from another class.`;
  if (all.length === 0) return [["Nothing is waiting: ask with /request M13."]];
  const mine = own === 0 ? "" : ` Yours ${own === 1 ? "is" : "are"} marked.`;
  return [[`Ordered by the rule ${rule}, tier by tier.${mine}${unseen}`]];
}

function tableOf(rows: readonly Row[], call: Call, present: Present): Table {
  const lines = merged(rows, call);
  const shown = lines.filter((line, index) => index < MOST_ROWS || line.own);
  const cells = shown.map((line) =>
    line.others === 0 ? cellsOf(line, call, present) : othersCells(line, present.now),
  );
  const left = rows.length - shown.reduce((sum, line) => sum + Math.max(1, line.others), 0);
  return {
    columns: ["place", "start", "request", "height", "who"],
    rows: left > 0 ? [...cells, [["…"], [""], [`${left} more`], [""], [""]]] : cells,
    ownRows: shown.flatMap((line, index) => (line.own ? [index] : [])),
  };
}

/** A row, or the first of several that follow one another and belong to other classes. */
interface Line extends Row {
  /** How many requests of other classes it stands for; 0 for a request of the asker's class. */
  readonly others: number;
}

function merged(rows: readonly Row[], { asker }: Call): Line[] {
  const lines: Line[] = [];
  for (const row of rows) {
    const foreign = row.request.classId !== asker.classId;
    const last = lines.at(-1);
    const follows = last && last.others > 0 && last.estimate.place !== null && row.estimate.place !== null;
    if (foreign && follows) lines[lines.length - 1] = { ...last, others: last.others + 1 };
    else lines.push({ ...row, others: foreign ? 1 : 0 });
  }
  return lines;
}

function othersCells({ estimate, others }: Line, now: UtcMillis): Phrase[] {
  const words = others === 1 ? "one from another class" : `${others} from other classes`;
  return [placeCell(estimate), startCell(estimate, now), [words], [""], [""]];
}

function cellsOf({ request, estimate, own }: Row, { asker }: Call, present: Present): Phrase[] {
  const { altitudeDegrees } = estimate;
  const height = altitudeDegrees === null ? "" : heightWords(altitudeDegrees);
  return [
    placeCell(estimate),
    startCell(estimate, present.now),
    [label(request)],
    [height],
    own ? say`you${sharedWith(request, asker.id)}` : ownerWords(request, present),
  ];
}

function placeCell({ place }: Estimate): Phrase {
  if (place === null) return ["–"];
  return [place === 0 ? "now" : String(place)];
}

function ownerWords(request: Request, { desk, config }: Services): Phrase {
  const group = groupOf(request.owner, request.classId, desk.state, config);
  return group === null ? [person(request.owner)] : [person(request.owner), ` (${group})`];
}

function sharedWith({ owner, sharers }: Request, askerId: string): Phrase {
  const others = [owner, ...sharers].filter((each) => each !== askerId);
  if (others.length === 0) return [];
  return [", shared with ", ...others.flatMap((id, index) => [...(index === 0 ? [] : [", "]), person(id)])];
}

async function chart(
  rows: readonly Row[],
  { asker }: Call,
  present: Present,
): Promise<Pick<Reply, "picture">> {
  const { config, desk, pictures, now } = present;
  const { observatory } = config;
  const labelFor = ({ request, own }: Row): string => {
    if (request.classId !== asker.classId) return `#${request.number} another class`;
    return `${label(request)} · ${own ? "you" : nameFor(request.owner, asker.classId, desk.state, config)}`;
  };
  const shown = rows.map((row) => ({ ...row, label: labelFor(row) }));
  if (!shown.some((row) => row.estimate.turn)) return {};
  return drawn(present, () => pictures.queue({ observatory, nowUnixMs: now, rows: shown }));
}
