/** /plan: an hour with a class: what to look at, how many requests fit, and who takes what. */

import { count, listed } from "../../base/english.js";
import { clockTime, dayOf, type Phrase, say, strong } from "../../base/phrase.js";
import type { UtcMillis } from "../../base/units.js";
import type { ClassWish } from "../../forecast/fitting.js";
import { degrees, seconds } from "../../notices/words/amounts.js";
import { moonPhase } from "../../sky/moon.js";
import type { Call } from "../command.js";
import { defineCommand } from "../define.js";
import { classOf, groupsOf } from "../people/people.js";
import { LEAST_MINUTES, type Stretch, stretchOf } from "../plan/plan-stretch.js";
import { LEAST_ALTITUDE, type Suited, spreadOut, suitedTargets } from "../plan/plan-targets.js";
import { fittingWords, leftOut, rangeWords, splitWords, staysWords } from "../plan/plan-words.js";
import { darkHoursOf } from "../plan/sky-view.js";
import type { Reply } from "../reply.js";
import type { Present, Services } from "../services.js";
import { describedWords, shortName } from "../words/target-words.js";

/** About so many students share a target; no class follows more targets than the most. */
const STUDENTS_PER_TARGET = 4;
const FEWEST_TARGETS = 3;
const MOST_TARGETS = 8;

export const plan = defineCommand({
  name: "plan",
  who: "instructor",
  help: "Plans a class: targets that suit the hour, how many requests fit, and a split of the class.",
  otherwise: "/tonight lists what is worth asking for now.",
  options: [
    { name: "date", kind: "date", required: true, help: "The night, by its evening date: 2026-12-04" },
    { name: "time", kind: "clock", required: true, help: "When the class begins: 21:00" },
    {
      name: "minutes",
      kind: "whole",
      min: LEAST_MINUTES,
      max: 600,
      help: "How long it lasts; 60 when left out",
    },
    {
      name: "students",
      kind: "whole",
      min: 1,
      max: 500,
      help: "How many come; all of the class when left out",
    },
  ],
  examples: ["/plan 2026-12-04 21:00 60 24", "/plan tomorrow 20:30"],
  answer: async ({ call, values, services, now }) => {
    const { config, catalogue } = services;
    const zone = config.observatory.site.timeZone;
    const stretch = stretchOf(values.date, values.time, values.minutes ?? 60, zone, now);
    const students =
      values.students ?? Math.max(1, classOf(config, call.asker.classId)?.students.length ?? 0);
    const { night, fromUnixMs, untilUnixMs } = stretch;
    const suited = suitedTargets(catalogue, night, fromUnixMs, untilUnixMs, config);
    if (suited.length === 0) return nothingSuits(stretch, services);
    const choice = chosen(suited, students, (fromUnixMs + untilUnixMs) / 2, services);
    return planned({ choice, found: suited.length, students, stretch }, call, services);
  },
});

function chosen(suited: readonly Suited[], students: number, unixMs: UtcMillis, { config }: Services) {
  const wanted = Math.round(students / STUDENTS_PER_TARGET);
  const most = Math.min(students, Math.max(FEWEST_TARGETS, Math.min(MOST_TARGETS, wanted)));
  return spreadOut(suited, most, unixMs, config);
}

function nothingSuits({ night, fromUnixMs, untilUnixMs }: Stretch, { config }: Services): Reply {
  const dark = darkHoursOf(night, config.observatory);
  const isDark = dark.some((each) => each.openUnixMs <= fromUnixMs && untilUnixMs <= each.closeUnixMs);
  const first = dark[0];
  const hours = first
    ? say`That night is dark enough for faint targets from ${clockTime(first.openUnixMs)} to ${clockTime(dark.at(-1)?.closeUnixMs ?? first.closeUnixMs)}: plan within these hours.`
    : say`That night does not get dark enough for faint targets: plan another night.`;
  return {
    tone: "warning",
    title: "No well-known target suits all of that time",
    lines: [
      isDark
        ? say`None stays above ${LEAST_ALTITUDE}° all through, bright enough and away from the Moon: try a shorter class or another hour.`
        : hours,
    ],
  };
}

interface Plan {
  readonly choice: readonly Suited[];
  /** How many suit. */
  readonly found: number;
  readonly students: number;
  readonly stretch: Stretch;
}

function planned({ choice, found, students, stretch }: Plan, call: Call, services: Present): Reply {
  const { night, begun, fromUnixMs, untilUnixMs } = stretch;
  const perTarget = shares(students, choice.length);
  const fitting = services.forecast.fitting(roundOf(choice, perTarget), fromUnixMs, untilUnixMs);
  const from = say`${clockTime(fromUnixMs)}${begun ? " (now: it has begun)" : ""}`;
  return {
    tone: "answer",
    title: `${count(choice.length, "target")} for ${count(students, "student")}; ${fittingWords(fitting)} will fit`,
    lines: [
      say`${strong("When")}: ${dayOf(fromUnixMs)}, ${from} to ${clockTime(untilUnixMs)}. ${moonWords(stretch)}`,
      say`${strong("Fits")}: ${rangeWords(fitting, untilUnixMs - fromUnixMs)}, cloud and the machines' learned times allowed for.`,
      ...leftOut(night.date, fromUnixMs, services),
      say`${strong("Split")}: ${splitWords(perTarget, students, fitting)}`,
      ...groupLine(choice, call, services),
      [staysWords(choice.length, found)],
    ],
    table: {
      columns: ["target", "what it is", "lowest", "Moon", "ask for", "students"],
      rows: choice.map((each, index) => rowOf(each, perTarget[index] ?? 0)),
      ownRows: [],
    },
  };
}

/** As evenly as numbers allow. */
function shares(students: number, targets: number): number[] {
  return Array.from(
    { length: targets },
    (_, index) => Math.floor(students / targets) + (index < students % targets ? 1 : 0),
  );
}

/** One request of each student, target by target: asked for again and again, it tells how many fit. */
function roundOf(choice: readonly Suited[], perTarget: readonly number[]): ClassWish[] {
  return choice.flatMap(({ target, filter, exposure: { exposureSeconds, frames } }, index) =>
    Array.from({ length: perTarget[index] ?? 0 }, () => ({ target, filter, exposureSeconds, frames })),
  );
}

/** Which group takes which targets, where the class has groups. */
function groupLine(choice: readonly Suited[], { asker }: Call, { desk, config }: Services): Phrase[] {
  const groups = groupsOf(asker.classId, desk.state, config);
  if (groups.length < 2 || groups.length > choice.length) return [];
  const shares = groups.map((group, index) => {
    const own = choice.filter((_, place) => place % groups.length === index);
    return `${group} ${listed(own.map(({ target }) => shortName(target)))}`;
  });
  return [say`${strong("By group")}: ${shares.join("; ")}.`];
}

function rowOf({ target, lowestDegrees, moonDegrees, filter, exposure }: Suited, students: number): Phrase[] {
  return [
    [shortName(target)],
    [describedWords(target)],
    [degrees(lowestDegrees)],
    [moonDegrees === null ? "–" : `${degrees(moonDegrees)} away`],
    [`${filter}, ${exposure.frames} × ${seconds(exposure.exposureSeconds)}`],
    [String(students)],
  ];
}

function moonWords({ fromUnixMs, untilUnixMs }: Stretch): string {
  const { name, illuminatedFraction } = moonPhase((fromUnixMs + untilUnixMs) / 2);
  return `Moon: ${name}, ${Math.round(illuminatedFraction * 100)} % lit.`;
}
