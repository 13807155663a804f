/** /plan: an hour with a class: what to look at, how many requests fit, and who takes what. */
import { DateTime } from "luxon";
import { clockTime, dayOf, type Phrase, say, strong } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import { MINUTE, type UtcMillis } from "../../base/units.js";
import type { ClassWish, Fitting } from "../../forecast/fitting.js";
import { count, degrees, duration, seconds } from "../../notices/words/amounts.js";
import { moonPhase } from "../../sky/moon.js";
import { type Night, nightNamed } from "../../sky/night.js";
import type { Call } from "../command.js";
import { defineCommand } from "../define.js";
import { classOf, groupsOf } from "../people.js";
import { LEAST_ALTITUDE, type Suited, spreadOut, suitedTargets } from "../plan-targets.js";
import type { Reply } from "../reply.js";
import type { Services } from "../services.js";
import { darkHoursOf } from "../sky-view.js";
import { fullName, kindWords, shortName } from "../target-words.js";
import { listed } from "../words.js";

/** The stretch that is planned. */
interface Stretch {
  readonly night: Night;
  readonly fromUnixMs: UtcMillis;
  readonly untilUnixMs: UtcMillis;
  readonly students: number;
}

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
      required: false,
      min: 10,
      max: 600,
      help: "How long it lasts; 60 when left out",
    },
    {
      name: "students",
      kind: "whole",
      required: false,
      min: 1,
      max: 500,
      help: "How many come; all of the class when left out",
    },
  ],
  examples: ["/plan 2026-12-04 21:00 60 24", "/plan tomorrow 20:30"],
  answer: async ({ call, values, services, now }) => {
    const stretch = stretchOf(values, call, services);
    if (stretch.untilUnixMs <= now) {
      throw new Refusal("time-past", "That hour is over: give a night or a time to come.");
    }
    const suited = suitedTargets(
      services.catalogue,
      stretch.night,
      stretch.fromUnixMs,
      stretch.untilUnixMs,
      services.config,
    );
    return suited.length === 0
      ? nothingSuits(stretch, services)
      : planned(chosen(suited, stretch, services), suited.length, stretch, call, services);
  },
});

function stretchOf(
  values: { date: string; time: number; minutes: number | undefined; students: number | undefined },
  { asker }: Call,
  { config }: Services,
): Stretch {
  const zone = config.observatory.site.timeZone;
  const evening = DateTime.fromISO(values.date, { zone });
  // A night is named by its evening: the hours before noon belong to the day after.
  const day = values.time < 12 * 60 ? evening.plus({ days: 1 }) : evening;
  const from = day.set({ hour: Math.floor(values.time / 60), minute: values.time % 60 });
  const enrolled = classOf(config, asker.classId)?.students.length ?? 0;
  return {
    night: nightNamed(values.date, zone),
    fromUnixMs: from.toMillis(),
    untilUnixMs: from.toMillis() + (values.minutes ?? 60) * MINUTE,
    students: values.students ?? Math.max(1, enrolled),
  };
}

function chosen(
  suited: readonly Suited[],
  { fromUnixMs, untilUnixMs, students }: Stretch,
  services: Services,
) {
  const wanted = Math.round(students / STUDENTS_PER_TARGET);
  const most = Math.min(students, Math.max(FEWEST_TARGETS, Math.min(MOST_TARGETS, wanted)));
  return spreadOut(suited, most, (fromUnixMs + untilUnixMs) / 2, services.config);
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

function planned(
  choice: readonly Suited[],
  found: number,
  stretch: Stretch,
  call: Call,
  services: Services,
): Reply {
  const { fromUnixMs, untilUnixMs, students } = stretch;
  const perTarget = shares(students, choice.length);
  const fitting = services.forecast.fitting(roundOf(choice, perTarget), fromUnixMs, untilUnixMs);
  const split = { perTarget, perRequest: Math.ceil(students / Math.max(1, fitting.low)) };
  return {
    tone: "answer",
    title: `${count(choice.length, "target")} for ${count(students, "student")}; about ${count(fitting.median, "request")} will fit`,
    lines: [
      say`${strong("When")}: ${dayOf(fromUnixMs)}, ${clockTime(fromUnixMs)} to ${clockTime(untilUnixMs)}. ${moonWords(stretch)}`,
      say`${strong("Fits")}: ${range(fitting)} requests in ${duration(untilUnixMs - fromUnixMs)} (8 times in 10), cloud and the machines' learned times allowed for.`,
      say`${strong("Split")}: ${splitWords(split, students, fitting)}`,
      ...groupLine(choice, call, services),
      [
        `All ${count(choice.length, "target")} stay above ${LEAST_ALTITUDE}° all through; ${count(found, "well-known target")} ${found === 1 ? "does" : "do"}, these are spread best over the sky.`,
      ],
    ],
    table: {
      columns: ["target", "what it is", "lowest", "Moon", "ask for", "students"],
      rows: choice.map((each, index) => rowOf(each, split.perTarget[index] ?? 0)),
      ownRows: [],
    },
  };
}

/** How many students take each target, and how many of them share one request. */
interface Split {
  readonly perTarget: readonly number[];
  readonly perRequest: number;
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

function splitWords({ perTarget, perRequest }: Split, students: number, { low }: Fitting): string {
  const most = Math.max(...perTarget);
  const least = Math.min(...perTarget);
  const each = most === least ? `${most}` : `${least} or ${most}`;
  const share = `${each} ${most === 1 ? "student" : "students"} to a target`;
  const rounds = Math.floor(low / students);
  if (rounds >= 2) return `${share}, with time for ${rounds} requests each.`;
  if (perRequest === 1) return `${share}, each with a request of their own.`;
  return `${share}, ${perRequest} of them sharing a request, since fewer fit than there are students.`;
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

function describedWords(target: Suited["target"]): string {
  const kind = kindWords(target) ?? (target.type === "moon" ? "the Moon" : "a planet");
  const called = fullName(target).replace(` (${shortName(target)})`, "");
  return called === shortName(target) ? kind : `${called}, ${kind}`;
}

function moonWords({ fromUnixMs, untilUnixMs }: Stretch): string {
  const { name, illuminatedFraction } = moonPhase((fromUnixMs + untilUnixMs) / 2);
  return `Moon: ${name}, ${Math.round(illuminatedFraction * 100)} % lit.`;
}

function range({ low, high }: Fitting): string {
  return low === high ? String(low) : `${low} to ${high}`;
}
