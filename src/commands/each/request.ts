/** /request: asks for frames of a target. */
import { type Button, button } from "../../base/button.js";
import { capital, listed } from "../../base/english.js";
import { type Phrase, say } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import { MINUTE, type UtcMillis } from "../../base/units.js";
import { rememberTold } from "../../estimates/told.js";
import type { NightslateEvent } from "../../journal/events.js";
import type { State } from "../../journal/state.js";
import { degrees, wishWords } from "../../notices/words/amounts.js";
import type { Request, Wish } from "../../queue/request.js";
import { type Ask, defineCommand, type Values } from "../define.js";
import { refuseOutsideSession } from "../people/class-sessions.js";
import { groupOf, joining, tierOf } from "../people/people.js";
import { bestFor, worthTheWait } from "../plan/best-wait.js";
import {
  assessed,
  faintWarning,
  frameNotes,
  saturationWarning,
  signalWords,
  usualWish,
} from "../plan/frame-view.js";
import { checkQueue } from "../plan/request-check.js";
import { checkSky } from "../plan/sky-check.js";
import { askableFrom, worthAsking } from "../plan/up-now.js";
import { label, requestOf } from "../read/read-request.js";
import { splitWish } from "../read/split-wish.js";
import { makeWish } from "../read/wish.js";
import type { Reply } from "../reply.js";
import type { Present } from "../services.js";
import { bestSentence, isOffered } from "../words/best-words.js";
import { placeWords, startLines } from "../words/estimate-words.js";
import { example } from "../words/example.js";
import { moonWarning } from "../words/moon-words.js";
import { fullName, shortName } from "../words/target-words.js";
import { conditionWarnings } from "../words/telescope-words.js";

const OPTIONS = [
  { name: "target", kind: "target", required: true, help: "M13, Ring Nebula, Vega, Jupiter or coordinates" },
  { name: "filter", kind: "filter", help: "Which filter; clear when left out" },
  {
    name: "exposure",
    kind: "number",
    unit: "seconds",
    help: "Seconds for each frame, or 2m; suggested when left out",
  },
  { name: "frames", kind: "whole", help: "How many frames; 1 when left out" },
  { name: "notbefore", kind: "time", help: "Not before this time, such as 22:30" },
  { name: "best", kind: "choice", choices: ["yes"], help: "Waits until it stands highest tonight" },
  { name: "note", kind: "text", help: "A word about what it is for", maxLength: 200 },
  {
    name: "anyway",
    kind: "choice",
    choices: ["yes"],
    help: "Ask although a classmate has asked for the same",
  },
] as const;

/** Waiting longer than this for the sky, people are told what is up now. */
const LONG_WAIT = 30 * MINUTE;

type RequestAsk = Ask<Values<typeof OPTIONS>>;

export const request = defineCommand({
  name: "request",
  who: "student",
  help: "Asks for frames of a target; answers with number, place and estimated start.",
  options: OPTIONS,
  examples: [
    "/request M13",
    "/request M13 clear 20 3",
    "/request Ring Nebula, R, 1 min, x2",
    "/request 05 35 17 -05 23 28 clear 20",
  ],
  prepare: (raw, { catalogue, config }) => {
    const split = splitWish(raw, catalogue, config.observatory.camera.filters);
    refuseFramesInWords(split.frames, config.queue.mostFrames);
    return split;
  },
  answer: async (ask) => {
    const { entry } = await ask.act((state, now) => decide(ask, state, now));
    const made = entry?.events.find((event) => event.type === "request.made");
    if (!made) throw new Refusal("repeated-call", "That was done already: type /mine to see your requests.");
    return answerFor(ask, requestOf(ask.services.desk.state, made.number));
  },
});

/** Said with the range, which the option itself does not know. */
function refuseFramesInWords(frames: string | number | undefined, most: number): void {
  if (frames === undefined || /\d/.test(String(frames))) return;
  throw new Refusal("bad-number", `The frames must be a whole number from 1 to ${most}, such as 3.`);
}

/** The checks stand inside the decision: a repeated call is answered without them. */
function decide(ask: RequestAsk, state: State, now: UtcMillis): NightslateEvent[] {
  const { call, services, values } = ask;
  const { asker, from } = call;
  const { config } = services;
  refuseOutsideSession(state, asker, now);
  const { target, notbefore } = ask.values;
  const { opensUnixMs } = checkSky(target, notbefore ?? now, now, config.observatory);
  const wish = wishOf(ask, opensUnixMs);
  checkQueue(wish, asker, state, config, values.anyway === "yes");
  const group = groupOf(asker.id, asker.classId, state, config);
  const made: NightslateEvent = {
    type: "request.made",
    number: state.nextNumber,
    wish,
    owner: asker.id,
    classId: asker.classId,
    group,
    tier: tierOf(asker, config),
    via: from,
  };
  const known = joining(state, asker, from, config);
  return known ? [known, made] : [made];
}

/** What was left out suits the target as it stands when it can first be observed. */
function wishOf({ values, services: { config } }: RequestAsk, opensUnixMs: UtcMillis): Wish {
  const { target, filter, exposure, frames, best } = values;
  const notBeforeUnixMs = values.notbefore ?? null;
  const asked = { target, filter, exposure, frames, notBeforeUnixMs, note: values.note ?? null };
  const wish = makeWish(asked, config, (wanted, through) => usualWish(wanted, through, opensUnixMs, config));
  const at = best === "yes" ? bestFor(wish, opensUnixMs, opensUnixMs, config.observatory) : null;
  if (at === null || !worthTheWait(at, opensUnixMs)) return wish;
  return { ...wish, notBeforeUnixMs: at.startUnixMs, best: { notBeforeUnixMs } };
}

function answerFor({ services: asked, call, values }: RequestAsk, made: Request): Reply {
  // The disk has taken its time meanwhile.
  const services = { ...asked, now: asked.clock.now() };
  const estimate = services.forecast.estimate(made.number);
  if (!estimate) return alreadyOver(made);
  rememberTold([estimate], services);
  const warnings = warningsFor(made, estimate.turn?.exposingUnixMs ?? null, services);
  const assumed = assumedIn(values, made);
  const [start, ...hold] = startLines(estimate, made, services);
  const best = bestSentence(made, estimate, services);
  return {
    tone: warnings.length > 0 || estimate.place === null ? "warning" : "done",
    title: `${label(made)}: ${placeWords(estimate)}`,
    lines: [
      start ?? [],
      say`${fullName(made.target)}: ${wishWords(made)}.${assumed}`,
      ...(best ? [best] : []),
      ...hold,
      ...showsPhrases(made, estimate.turn?.exposingUnixMs ?? null, services),
      ...warnings,
      ...instead(made, services),
    ],
    actions: actionsFor(made, call.asker.id, isOffered(made, estimate, services)),
  };
}

/** Which defaults were taken, said so that they can be changed. */
function assumedIn(values: RequestAsk["values"], made: Request): Phrase {
  const left = (["filter", "exposure", "frames"] as const).filter((name) => values[name] === undefined);
  if (left.length === 0) return [];
  const wanted = left.length === 3 ? "filter, exposure and frames" : left.join(" and ");
  const { filter, exposureSeconds, frames } = made;
  const named = made.target.type === "position" ? made.target.id : shortName(made.target);
  const line = `/request ${named} ${filter} ${exposureSeconds} ${frames}`;
  const options = { target: named, filter, exposure: exposureSeconds, frames };
  return say` You left out ${wanted}; to choose, type for example ${example(line, options)}.`;
}

function warningsFor(made: Request, exposingUnixMs: UtcMillis | null, present: Present): Phrase[] {
  const { config, desk, now } = present;
  const sky = skyWarning(made, present);
  const at = exposingUnixMs ?? sky.opensUnixMs;
  const moon = moonWarning(made.target, at, config.observatory);
  const light = saturationWarning(made, at, config) ?? faintWarning(made, at, config);
  return [
    ...(sky.warning ? [sky.warning] : []),
    ...[
      ...(moon ? [moon] : []),
      ...(light ? [light] : []),
      ...conditionWarnings(
        desk.state.equipment,
        askableFrom(now, config.observatory) === now,
        present.telescope().traits,
      ),
    ].map((sentence) => [sentence]),
  ];
}

/** What the frames should show; where a warning speaks of their light, that says it. */
function showsPhrases(made: Request, exposingUnixMs: UtcMillis | null, present: Present): Phrase[] {
  const { config } = present;
  const at = exposingUnixMs ?? skyWarning(made, present).opensUnixMs;
  const seen = assessed(made, at, config);
  const words = seen === null ? null : signalWords(seen);
  const warned = saturationWarning(made, at, config) ?? faintWarning(made, at, config);
  const expected = words === null || warned !== null ? [] : [`Expect ${words}.`];
  return [...expected, ...frameNotes(made, at, config)].map((sentence) => [sentence]);
}

/** What can be asked for at once, when this one has to wait for the sky. */
function instead(made: Request, present: Present): Phrase[] {
  const { catalogue, config, now } = present;
  const { observatory } = config;
  const waits = skyWarning(made, present).opensUnixMs > now + LONG_WAIT;
  if (!waits || made.notBeforeUnixMs !== null || askableFrom(now, observatory) !== now) return [];
  const list = worthAsking(catalogue, now, observatory, 3).map(
    ({ target, altitudeDegrees }) => `${shortName(target)} at ${degrees(altitudeDegrees)}`,
  );
  return list.length === 0 ? [] : [[`Up now, if you would rather not wait: ${listed(list)}.`]];
}

/** The sky may have changed since a repeated call was first answered; then nothing is said of it. */
function skyWarning(made: Request, { config, now }: Present): ReturnType<typeof checkSky> {
  const from = Math.max(now, made.notBeforeUnixMs ?? now);
  try {
    return checkSky(made.target, from, now, config.observatory);
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    return { opensUnixMs: from, warning: null };
  }
}

function actionsFor(made: Request, asker: string, better: boolean): Button[] {
  const options = { request: made.number };
  return [
    button("When?", "when", options, asker),
    ...(better ? [button("Wait for its best", "wait", options, asker)] : []),
    ...(made.best ? [button("As soon as it can be", "wait", { ...options, until: "now" }, asker)] : []),
    button("Withdraw", "withdraw", options, asker),
  ];
}

/** A repeated call about a request that has run in the meantime. */
function alreadyOver(made: Request): Reply {
  return {
    tone: "answer",
    title: `${label(made)}: ${made.state}`,
    lines: [
      [
        `${capital(wishWords(made))}. It was asked for once and is ${made.state} now; /when ${made.number} says more.`,
      ],
    ],
  };
}
