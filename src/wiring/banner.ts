/** What the terminal says before anything is typed. */
import { DateTime } from "luxon";
import type { UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import type { Member } from "./members.js";

/** Who, where, when, how fast, and what to try first. */
export function bannerText(config: Config, member: Member, speed: number, nowUnixMs: UtcMillis): string {
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
    "Type  /tonight  to see what is up,  /request M31  to ask,  /when  to hear when yours runs.",
    "/help lists everything.  /as instructor changes who you are.  /quit leaves.",
    "",
  ].join("\n");
}
