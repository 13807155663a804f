/** /results: who asked, when it was taken, what came of it; as a summary and as CSV. */

import { capital, count, listed } from "../../base/english.js";
import type { Phrase } from "../../base/phrase.js";
import { MINUTE, type Millis } from "../../base/units.js";
import type { State } from "../../journal/state.js";
import { duration } from "../../notices/words/amounts.js";
import type { Request, RequestState } from "../../queue/request.js";
import { defineCommand } from "../define.js";
import { nightAt } from "../plan/sky-view.js";
import { resultsCsv } from "../words/results-csv.js";

const STATES: readonly RequestState[] = ["completed", "taken", "waiting", "failed", "cancelled", "withdrawn"];

export const results = defineCommand({
  name: "results",
  who: "instructor",
  help: "Your class's record: a summary, and a CSV file with every request and its outcome.",
  otherwise: "/mine shows your own requests and frames.",
  options: [
    { name: "scope", kind: "choice", choices: ["all", "tonight"], help: "From when; all when left out" },
  ],
  examples: ["/results", "/results tonight"],
  answer: async ({ call, values, services, now }) => {
    const { desk, config } = services;
    const night = nightAt(now, config.observatory);
    const since = values.scope === "tonight" ? night.startUnixMs : Number.NEGATIVE_INFINITY;
    const requests = [...desk.state.requests.values()].filter(
      (each) =>
        each.classId === call.asker.classId && Math.max(each.askedUnixMs, each.endedUnixMs ?? 0) >= since,
    );
    const span = values.scope === "tonight" ? `tonight, ${night.date}` : "so far";
    return {
      tone: "answer",
      title: capital(`${count(requests.length, "request")} ${span}`),
      lines: summary(requests, desk.state),
      ...(requests.length === 0
        ? {}
        : {
            downloads: [
              {
                fileName: `results-${night.date}.csv`,
                mediaType: "text/csv",
                content: resultsCsv(requests, desk.state, config),
              },
            ],
          }),
    };
  },
});

function summary(requests: readonly Request[], state: State): Phrase[] {
  if (requests.length === 0) return [["Nothing has been asked for, so there is no file."]];
  const people = new Set(requests.map((each) => each.owner)).size;
  const ends = STATES.flatMap((each) => {
    const many = requests.filter((request) => request.state === each).length;
    const words = each === "taken" ? "under way" : each;
    return many === 0 ? [] : [requests.length === 1 ? words : `${many} ${words}`];
  });
  const frames = requests.flatMap((each) => state.frames.get(each.number) ?? []);
  const usable = frames.filter((each) => each.verdict?.is === "usable").length;
  return [
    [endsLine(requests.length, people, ends)],
    [frames.length === 0 ? "No frames yet." : `${usable} of ${count(frames.length, "frame")} usable.`],
    ...waits(requests),
    ["The file holds names: keep it as your school's rules for student data say."],
  ];
}

function endsLine(requests: number, people: number, ends: readonly string[]): string {
  if (requests === 1) return `1 request, ${ends[0]}.`;
  return `${requests} requests by ${count(people, "person", "people")}: ${listed(ends)}.`;
}

function withinWords(wait: Millis): string {
  return wait < MINUTE ? "a minute" : duration(wait);
}

function waits(requests: readonly Request[]): Phrase[] {
  const times = requests.flatMap((each) =>
    each.takenUnixMs === null ? [] : [each.takenUnixMs - each.askedUnixMs],
  );
  if (times.length === 0) return [];
  const sorted = times.sort((a, b) => a - b);
  const middle = sorted[Math.floor((sorted.length - 1) / 2)] ?? 0;
  const worst = sorted.at(-1) ?? 0;
  if (times.length === 1) return [[`The one taken so far waited ${duration(worst)}.`]];
  if (worst < MINUTE) return [["Those taken so far waited less than a minute each."]];
  return [[`Half were taken within ${withinWords(middle)}; the longest wait was ${duration(worst)}.`]];
}
