/** /when: how soon a request runs, and why not sooner. */
import { type Button, button } from "../../base/button.js";
import { capital, listed } from "../../base/english.js";
import { type Phrase, say } from "../../base/phrase.js";
import type { Estimate } from "../../estimates/forecast-service.js";
import { rememberTold } from "../../estimates/told.js";
import type { NightRun } from "../../forecast/night-run.js";
import { deciderClause } from "../../notices/words/decider.js";
import type { Request } from "../../queue/request.js";
import type { Call } from "../command.js";
import { defineCommand } from "../define.js";
import { Offer } from "../offer.js";
import { isMine } from "../people/people.js";
import { seenLabel, seenList } from "../people/seen.js";
import { isActive, label, ownRequests, requestOf } from "../read/read-request.js";
import type { Reply } from "../reply.js";
import type { Present, Services } from "../services.js";
import { changeSentence } from "../words/change-words.js";
import { placeWords, startLines } from "../words/estimate-words.js";
import { decidingComparison } from "../words/reasons.js";
import { storyOf } from "../words/request-story.js";
import { asAskedSentence, ifLiftedWords, waitClause, waitsForItsTime } from "../words/wait-words.js";

export const when = defineCommand({
  name: "when",
  who: "student",
  help: "When your request runs, what runs before it, why, and what could change it.",
  options: [
    {
      name: "request",
      kind: "request",
      help: "Its number; your next one when left out",
      offer: "all-active",
    },
  ],
  examples: ["/when", "/when 12"],
  asks: true,
  ages: true,
  answer: async ({ call, values, services }) => {
    const asked =
      values.request === undefined ? nextOwn(call, services) : requestOf(services.desk.state, values.request);
    refuseOtherClass(asked, call);
    if (asked.state !== "waiting") return storyOf(asked, services);
    return waitingAnswer(asked, call, services);
  },
});

/** The asker's own request that comes first; the one under way before all. */
function nextOwn({ asker }: Call, { desk, forecast }: Services): Request {
  const active = ownRequests(desk.state, asker).filter(isActive);
  const taken = active.find((each) => each.state === "taken");
  if (taken) return taken;
  const place = new Map(forecast.order().map((estimate, index) => [estimate.number, index]));
  const first = active.sort((a, b) => (place.get(a.number) ?? 0) - (place.get(b.number) ?? 0))[0];
  if (first) return first;
  throw new Offer(
    "nothing-waiting",
    [say`You have no request waiting. Ask for a frame with /request M13, or see what is up with /tonight.`],
    [button("What is up?", "tonight", {}, asker.id)],
  );
}

/** People of other classes are counted, never shown. */
export function refuseOtherClass(request: Request, { asker }: Call): void {
  if (request.classId === asker.classId) return;
  throw new Offer("other-class", [
    say`#${request.number} belongs to another class, so nothing can be said about it here. Type /when for your own.`,
  ]);
}

function waitingAnswer(request: Request, call: Call, services: Present): Reply {
  const estimate = services.forecast.estimate(request.number);
  if (!estimate) return storyOf(request, services);
  if (isMine(request, call.asker.id)) rememberTold([estimate], services);
  const change = changeSentence(estimate, request, services);
  return {
    tone: services.desk.state.hold ? "warning" : "answer",
    title: `${label(request)}: ${placeWords(estimate)}`,
    lines: [
      ...startLines(estimate, request, services),
      ...reasonLines(estimate, request, call, services),
      ...beforeLines(estimate, request, call, services),
      ...(change ? [change] : []),
      ...otherLines(request, call, services),
    ],
    actions: actionsFor(request, call),
  };
}

/** What it waits for: the time that was asked for, or those who come first. */
function reasonLines(estimate: Estimate, request: Request, call: Call, services: Present): Phrase[] {
  const { forecast } = services;
  if (estimate.noTurn?.why === "hold") return liftedLines(request, call, services);
  const asked = asAskedSentence(estimate, request, isMine(request, call.asker.id), services);
  const others = waitsForItsTime(estimate)
    ? []
    : comparisonLines(request, forecast.central(), forecast.places(), call, services);
  return [...(asked ? [asked] : []), ...others];
}

/** During a hold: where it would stand without it. */
function liftedLines(request: Request, call: Call, services: Present): Phrase[] {
  const { forecast } = services;
  const lifted = capital(ifLiftedWords(services));
  const estimate = forecast.estimateIfLifted(request.number);
  if (!estimate || estimate.place === null) return [[`${lifted}, it would have no turn tonight.`]];
  const waits = waitClause(estimate, request, isMine(request, call.asker.id), services);
  if (waits !== null && waitsForItsTime(estimate)) return [say`${lifted}, it would wait ${waits}.`];
  const run = forecast.ifLifted();
  const places = new Map(run.turns.map((turn, index) => [turn.number, index + 1]));
  return [
    [`${lifted}, it would be ${placeWords(estimate)}.`],
    ...comparisonLines(request, run, places, call, services, "would run"),
  ];
}

/** The comparison that decided most, in one sentence. */
function comparisonLines(
  request: Request,
  run: NightRun,
  places: ReadonlyMap<number, number>,
  call: Call,
  { desk, config, now }: Present,
  runs = "runs",
): Phrase[] {
  const decided = decidingComparison(request.number, run, places);
  if (!decided) return [];
  const name = (number: number): string => seenLabel(desk.state.requests.get(number), call.asker.classId);
  const other = name(decided.second);
  const context = { tiers: config.tiers, now, other };
  return [
    say`${capital(name(decided.first))} ${runs} before ${other}: ${deciderClause(decided.decider, context)}.`,
  ];
}

/** Those with smaller places; left out where it waits for its own time, whoever runs before. */
function beforeLines(estimate: Estimate, request: Request, { asker }: Call, services: Services): Phrase[] {
  if (estimate.place === null || waitsForItsTime(estimate)) return [];
  const { requests, taken } = services.desk.state;
  const before: Request[] = [];
  for (const [number, place] of services.forecast.places()) {
    if (place >= estimate.place) break;
    const each = requests.get(number);
    if (each) before.push(each);
  }
  const now = taken ? requests.get(taken.number) : undefined;
  const first = now && seenLabel(now, asker.classId);
  if (before.length === 0) {
    if (!first) return [["Nothing else runs before it."]];
    return [[`${capital(first)} is being observed now; then it is the turn of #${request.number}.`]];
  }
  const list = seenList(before, asker.classId);
  if (first) return [[`Before it run ${first} (being observed now), then ${list}.`]];
  return [[`Before it ${before.length === 1 ? "runs" : "run"} ${list}.`]];
}

function otherLines(request: Request, { asker }: Call, { desk }: Services): Phrase[] {
  const others = ownRequests(desk.state, asker).filter(
    (each) => isActive(each) && each.number !== request.number,
  );
  if (others.length === 0) return [];
  const shown = others.slice(0, 4).map(label);
  const left = others.length - shown.length;
  return [
    [
      `You also have ${listed([...shown, ...(left > 0 ? [`${left} more`] : [])])}; /when with a number tells of each.`,
    ],
  ];
}

function actionsFor(request: Request, { asker }: Call): Button[] {
  const options = { request: request.number };
  const why = button("Why?", "why", options, null);
  return isMine(request, asker.id) ? [why, button("Withdraw", "withdraw", options, asker.id)] : [why];
}
