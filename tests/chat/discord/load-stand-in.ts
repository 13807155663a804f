/** The platform under load, in a process of its own: many students ask within seconds, rate limits enforced. */
import type { Millis } from "../../../src/base/units.js";
import { markIn } from "../../../src/chat/discord/hear/buttons.js";
import type { LoadReport } from "../../../src/tools/bench/discord-load.js";
import type { Interaction } from "./stand-in/interactions.js";
import type { Person } from "./stand-in/people.js";
import { PLATFORM_LIMITS } from "./stand-in/rate-limits.js";
import { startStandIn } from "./stand-in/stand-in.js";

export interface Opened {
  readonly apiUrl: string;
  readonly token: string;
  readonly guildId: string;
  readonly channelId: string;
  readonly roleId: string;
}

/** What the parent may ask for. */
export type LoadQuestion =
  | { readonly load: { readonly students: number; readonly withinMs: Millis } }
  | { readonly cancel: true }
  | { readonly report: true };

/** A round trip to the platform from a school. */
const LATENCY_MS = 40;
const LONGEST_WAIT_MS = 15_000;

const standIn = await startStandIn({ limits: PLATFORM_LIMITS, latencyMs: LATENCY_MS });
const guild = standIn.world.addGuild("Evening Survey");
const channel = standIn.world.addChannel(guild, "telescope");
const roleId = standIn.world.addRole(guild, "Instructor", 1n << 13n).id;
const instructor = standIn.join(guild, "Prof. Quill", [roleId]);
const opened: Opened = {
  apiUrl: standIn.apiUrl,
  token: standIn.token,
  guildId: guild.id,
  channelId: channel.id,
  roleId,
};
process.send?.({ opened });
process.on("message", (question) => void answer(question as LoadQuestion));

async function answer(question: LoadQuestion): Promise<void> {
  if ("load" in question) {
    await load(question.load.students, question.load.withinMs);
    process.send?.({ loaded: true });
  } else if ("cancel" in question) {
    await ended(instructor.slash("cancel", { reason: "Cloud", all: "yes" }));
    process.send?.({ cancelled: true });
  } else process.send?.({ report: report() });
}

/** Each student types a target, takes a suggestion, asks, and looks when it runs. */
async function load(count: number, withinMs: Millis): Promise<void> {
  await standIn.gateway.connected();
  const students = Array.from({ length: count }, (_, index) => standIn.join(guild, `Student ${index}`));
  const all = students.map(async (student, index) => {
    await new Promise((done) => setTimeout(done, (index / count) * withinMs));
    await evening(student, index);
  });
  await Promise.all(all);
}

async function evening(student: Person, index: number): Promise<void> {
  const typed = ["m", "n", "c", "an", "j"][index % 5] as string;
  const { choices } = await ended(student.typeInto("request", "target", typed));
  // Whoever reads what stands behind a name takes one that stands high enough.
  const up = (choices ?? []).filter(({ name }) => Number(/(\d+)° up/.exec(name)?.[1]) > 20);
  const choice = up[index % Math.min(3, up.length)];
  const target = String(choice?.value ?? "M31");
  const exposure = 5 + (index % 40);
  await ended(student.slash("request", { target, exposure, frames: 1 + (index % 3), anyway: "yes" }));
  if (index % 3 === 0) await ended(student.slash("when"));
  if (index % 10 === 0) await ended(student.slash("queue"));
}

/** People give up on an answer that never comes. */
async function ended(interaction: Interaction): Promise<Interaction> {
  let giveUp: NodeJS.Timeout | undefined;
  const never = new Promise<Interaction>((done) => {
    giveUp = setTimeout(() => done(interaction), LONGEST_WAIT_MS);
  });
  return Promise.race([interaction.settled, never]).finally(() => clearTimeout(giveUp));
}

function report(): LoadReport {
  const all = standIn.interactions.all;
  const times = (each: readonly Interaction[]): number[] =>
    each.flatMap(({ ackMs }) => ackMs ?? []).sort((a, b) => a - b);
  const posts = channel.messages.filter((each) => !each.content.includes("Conditions:"));
  const marks = posts.flatMap((each) => markIn(each.components) ?? []);
  return {
    interactions: all.length,
    acknowledged: all.filter((each) => each.ackMs !== null).length,
    ackMs: times(all.filter((each) => each.choices === null)),
    suggestionMs: times(all.filter((each) => each.choices !== null)),
    messages: posts.length,
    doubled: marks.length - new Set(marks).size,
    mentions: posts.reduce((sum, each) => sum + each.mentions.length, 0),
    turnedAway: standIn.limits?.refusals ?? 0,
  };
}
