/** What the terminal says before anything is typed. */
import { DateTime } from "luxon";
import { renderPhrase } from "../base/phrase.js";
import type { UtcMillis } from "../base/units.js";
import { nightAt } from "../commands/plan/sky-view.js";
import { worthAsking } from "../commands/plan/up-now.js";
import type { Services } from "../commands/services.js";
import { brightNight, brightNightPhrase } from "../commands/words/dark-words.js";
import { shortName } from "../commands/words/target-words.js";
import type { Member } from "../config/members.js";

/** Who, where, when, how fast, and what to try first: a target that is up, when there is one. */
export function bannerText(services: Services, member: Member): string {
  const { config, clock } = services;
  const nowUnixMs: UtcMillis = clock.now();
  const { notice, clockName, inventedClass } = services.telescope().traits;
  const { site } = config.observatory;
  const local = DateTime.fromMillis(nowUnixMs, { zone: site.timeZone, locale: "en-GB" });
  const teachingClass = config.classes.find((each) => each.id === member.classId);
  const others = (teachingClass?.students.length ?? 0) - (member.role === "student" ? 1 : 0);
  const when = `${local.toFormat("ccc d LLL HH:mm")} ${local.setLocale("en-US").offsetNameShort}`;
  const pace = clock.speed === 1 ? "at real speed" : `${clock.speed} times faster than real time`;
  const asking = inventedClass ? classmatesWords(others) : "";
  const time = clockName === null ? `It is ${when}.` : `${clockName} is ${when}, running ${pace}.`;
  return [
    `Nightslate · ${site.name}`,
    ...(notice === null ? [] : [notice]),
    `${time} All times here are the observatory's.`,
    `You are ${member.name}, ${member.role} of ${teachingClass?.name ?? member.classId}${asking}.`,
    "",
    ...whatToType(services, nowUnixMs),
    "/help lists everything.  /as instructor changes who you are.  /quit leaves.",
    "",
  ].join("\n");
}

function classmatesWords(others: number): string {
  if (others <= 0) return "";
  return others === 1
    ? "; the class's other student is asking too"
    : `; the class's ${others} other students are asking too`;
}

function whatToType({ config, catalogue }: Services, nowUnixMs: UtcMillis): string[] {
  const { observatory } = config;
  const [up] = worthAsking(catalogue, nowUnixMs, observatory, 1);
  if (up) {
    return [
      `Type  /tonight  to see what is up,  /request ${shortName(up.target)}  to ask,  /when  to hear when yours runs.`,
    ];
  }
  const look = "Type  /tonight  to see when it is dark,  /target M13  to see when a target is up.";
  const tooBright = brightNight(nightAt(nowUnixMs, observatory), observatory);
  if (!tooBright) return [look];
  const day = (unixMs: UtcMillis): string =>
    DateTime.fromMillis(unixMs, { zone: observatory.site.timeZone, locale: "en-GB" }).toFormat("ccc d LLL");
  const same = (text: string): string => text;
  const sentence = renderPhrase(brightNightPhrase(tooBright, observatory), {
    text: same,
    strong: same,
    person: same,
    time: ({ timeUnixMs }) => day(timeUnixMs),
  });
  return [sentence, look];
}
