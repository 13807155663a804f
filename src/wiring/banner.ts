/** What the terminal says before anything is typed. */
import { DateTime } from "luxon";
import type { UtcMillis } from "../base/units.js";
import type { Services } from "../commands/services.js";
import { shortName } from "../commands/target-words.js";
import { worthAsking } from "../commands/up-now.js";
import type { Member } from "./members.js";

/** Who, where, when, how fast, and what to try first: a target that is up. */
export function bannerText(services: Services, member: Member, speed: number): string {
  const { config, catalogue } = services;
  const nowUnixMs: UtcMillis = services.clock.now();
  const up = worthAsking(catalogue, nowUnixMs, config.observatory, 1)[0];
  const { site } = config.observatory;
  const local = DateTime.fromMillis(nowUnixMs, { zone: site.timeZone, locale: "en-GB" });
  const teachingClass = config.classes.find((each) => each.id === member.classId);
  const others = (teachingClass?.students.length ?? 0) - (member.role === "student" ? 1 : 0);
  const when = `${local.toFormat("ccc d LLL HH:mm")} ${local.setLocale("en-US").offsetNameShort}`;
  const pace = speed === 1 ? "at real speed" : `${speed} times faster than real time`;
  const asking = config.telescope.practice.classmates
    ? `; the class's ${others} other students are asking too`
    : "";
  return [
    `Nightslate · ${site.name}`,
    `Practice telescope: nothing real moves, and every frame is SIMULATED.`,
    `Practice time is ${when}, running ${pace}. All times here are the observatory's.`,
    `You are ${member.name}, ${member.role} of ${teachingClass?.name ?? member.classId}${asking}.`,
    "",
    `Type  /tonight  to see what is up,  /request ${up ? shortName(up.target) : "Vega"}  to ask,  /when  to hear when yours runs.`,
    "/help lists everything.  /as instructor changes who you are.  /quit leaves.",
    "",
  ].join("\n");
}
