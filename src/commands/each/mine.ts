/** /mine: one's own requests and frames. */

import { button } from "../../base/button.js";
import { capital, count } from "../../base/english.js";
import { type Phrase, say } from "../../base/phrase.js";
import { wishWords } from "../../notices/words/amounts.js";
import { timeFrom } from "../../notices/words/times.js";
import type { Request } from "../../queue/request.js";
import type { Call } from "../command.js";
import { defineCommand } from "../define.js";
import { isActive, label, ownRequests } from "../read/read-request.js";
import type { Present } from "../services.js";
import { startSentence } from "../words/estimate-words.js";
import { framesWords, shownFrames } from "../words/request-story.js";

/** Those that are over; older ones are counted. */
const MOST_ENDED = 8;
const MOST_ACTIVE = 12;
/** The last of each request that has some. */
const MOST_FRAMES = 6;

export const mine = defineCommand({
  name: "mine",
  who: "student",
  help: "Your requests: those still to come, and how the others ended, with their frames.",
  options: [],
  examples: ["/mine"],
  asks: true,
  ages: true,
  answer: async ({ call, services }) => {
    const own = ownRequests(services.desk.state, call.asker);
    const active = own.filter(isActive);
    const ended = own.filter((each) => !isActive(each)).reverse();
    const shown = [...active.slice(0, MOST_ACTIVE), ...ended.slice(0, MOST_ENDED)];
    const left = own.length - shown.length;
    const frames = [...own].reverse().flatMap((each) => shownFrames(each, services.desk.state, 1));
    return {
      tone: "answer",
      title: own.length === 0 ? "You have asked for nothing yet" : titleFor(active, ended.length),
      lines: [
        ...(own.length === 0 ? [["Ask for a frame with /request M13; /tonight lists what is up."]] : []),
        ...(left > 0
          ? [[`${capital(count(left, "older one"))} ${left === 1 ? "is" : "are"} left out.`]]
          : []),
      ],
      ...(shown.length === 0
        ? {}
        : {
            table: {
              columns: ["request", "asked for", "how it stands", "frames"],
              rows: shown.map((each) => rowFor(each, call, services)),
              ownRows: [],
            },
          }),
      ...(frames.length === 0 ? {} : { frames: frames.slice(0, MOST_FRAMES) }),
      actions: active
        .filter((each) => each.state === "waiting")
        .slice(0, 3)
        .map(({ number }) => button(`When #${number}?`, "when", { request: number }, call.asker.id)),
    };
  },
});

function titleFor(active: readonly Request[], ended: number): string {
  if (active.length === 0) return `Nothing still to come; ${ended} over`;
  const taken = active.filter((each) => each.state === "taken").length;
  const waiting = active.length - taken;
  const first = count(taken || waiting, "request");
  const state = taken > 0 ? `under way${waiting > 0 ? ` and ${waiting} waiting` : ""}` : "waiting";
  return `${first} ${state}, ${ended === 0 ? "none finished yet" : `${ended} over`}`;
}

function rowFor(request: Request, { asker }: Call, present: Present): Phrase[] {
  const frames = present.desk.state.frames.get(request.number) ?? [];
  const shared = request.owner === asker.id ? "" : " (joined)";
  const verdict = framesWords(frames);
  return [[`${label(request)}${shared}`], [wishWords(request)], standing(request, present), [verdict ?? ""]];
}

function standing(request: Request, present: Present): Phrase {
  if (request.state === "taken") return ["being observed now"];
  const estimate = request.state === "waiting" ? present.forecast.estimate(request.number) : null;
  if (estimate) return startSentence(estimate, request, present);
  const ended = request.endedUnixMs === null ? [] : say` ${timeFrom(request.endedUnixMs, present.now)}`;
  const reason = request.reason && request.state !== "completed" ? `: ${request.reason}` : "";
  return say`${request.state}${ended}${reason}`;
}
