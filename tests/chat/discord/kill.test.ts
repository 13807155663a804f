/** The process is killed (-9) at every step between a notice and its record; afterwards each stands once. */
import { type ChildProcess, fork } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { systemClock } from "../../../src/base/clock.js";
import { HOUR } from "../../../src/base/units.js";
import type { ChildTask, ChildWord } from "./crash-child.js";
import { configFor } from "./set-up.js";
import { type StandIn, startStandIn } from "./stand-in/stand-in.js";

const CHILD = "dist/with-tests/tests/chat/discord/crash-child.js";
/** Requests that carry a notice, with what to call them. */
const REQUESTS: readonly [string, RegExp, string][] = [
  ["POST", /^\/channels\/\d+\/messages$/, "a message"],
  ["POST", /^\/users\/@me\/channels$/, "a direct channel"],
];
const NOTICES = ["Notice A", "Notice B", "Notice C", "Notice D", "Board"];

interface Story {
  /** Steps passed, by the child and by the stand-in, in order. */
  readonly steps: string[];
  /** How often each notice stands in the end. */
  readonly standing: number[];
  readonly killed: boolean;
}

describe("killed with -9 while telling a class", () => {
  it("at every step, no notice is missing and none is there twice", async () => {
    const undisturbed = await tellStory(null);
    expect(undisturbed).toMatchObject({ standing: [1, 1, 1, 1, 1], killed: false });
    const steps = undisturbed.steps;

    for (const step of STEPS) expect(steps).toContain(step);
    const stories = await inPairs(steps, tellStory);
    const report = steps.map((step, index) => ({ step, ...pick(stories[index]) }));
    expect(report).toEqual(steps.map((step) => ({ step, standing: [1, 1, 1, 1, 1], killed: true })));
  }, 240_000);
});

/** Among the steps there must be these; the others follow from how the messages fall. */
const STEPS = [
  "before parcel.made is recorded (1)",
  "after parcel.made is recorded (1)",
  "a message has arrived but is not stored (1)",
  "a message is stored but not answered (1)",
  "before notices.delivered is recorded (1)",
  "after notices.delivered is recorded (1)",
  "a direct channel is stored but not answered (1)",
  "before surface.remembered is recorded (1)",
];

/** One class hears four things from a process that dies at a step and is started again, an hour later. */
async function tellStory(dieAt: string | null): Promise<Story> {
  const clock = systemClock();
  let later = 0;
  const standIn = await startStandIn({ clock: { now: () => clock.now() + later } });
  const task = prepare(standIn, dieAt);
  const steps: string[] = [];
  let killed = false;
  try {
    const child = start(task);
    const dead = once(child, "exit").then(() => {
      killed = true;
    });
    watchRequests(standIn, steps, dieAt, () => child.kill("SIGKILL"));
    await Promise.race([idle(child, steps), dead]);
    if (dieAt !== null && killed) {
      standIn.faults.clear();
      // Past the life of a nonce: only looking back can tell what stands.
      later = HOUR;
      const second = start({ ...task, dieAt: null });
      await idle(second, []);
      await end(second);
    } else await end(child);
    return { steps, standing: count(standIn), killed: dieAt !== null && killed };
  } finally {
    await standIn.stop();
  }
}

function prepare(standIn: StandIn, dieAt: string | null): ChildTask {
  const guild = standIn.world.addGuild("Evening Survey");
  const channel = standIn.world.addChannel(guild, "telescope");
  const refuser = standIn.join(guild, "mira");
  standIn.world.refusesDirect.add(refuser.userId);
  const one = { classId: "evening-2", guild, channel };
  const roleId = standIn.world.addRole(guild, "Instructor").id;
  return {
    config: configFor(standIn.apiUrl, [{ ...one, instructorRoleId: roleId, operatorRoleId: roleId }]),
    token: standIn.token,
    folder: mkdtempSync(join(tmpdir(), "nightslate-kill-")),
    channelId: channel.id,
    refuserId: refuser.userId,
    dieAt,
  };
}

/** Names each arrival and each effect of a request, and kills the child at the one asked for. */
function watchRequests(standIn: StandIn, steps: string[], dieAt: string | null, kill: () => void): void {
  for (const [method, path, name] of REQUESTS)
    for (const [when, words] of [
      ["before", "has arrived but is not stored"],
      ["after", "is stored but not answered"],
    ] as const) {
      let passed = 0;
      const tell = (): void => {
        passed += 1;
        const step = `${name} ${words} (${passed})`;
        steps.push(step);
        if (step === dieAt) kill();
      };
      const fault = { do: "tell", tell } as const;
      standIn.faults.plant(when, method, path, fault, { times: 100 });
    }
}

function start(task: ChildTask): ChildProcess {
  const file = join(task.folder, "task.json");
  writeFileSync(file, JSON.stringify(task));
  return fork(CHILD, [file], { stdio: ["ignore", "ignore", "inherit", "ipc"] });
}

/** Resolves when the child has nothing left to do. */
function idle(child: ChildProcess, steps: string[]): Promise<void> {
  return new Promise((done) => {
    child.on("message", (word: ChildWord) => {
      if ("idle" in word) done();
      else steps.push(word.step);
    });
  });
}

async function end(child: ChildProcess): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const gone = once(child, "exit");
  child.kill("SIGKILL");
  await gone;
}

function count(standIn: StandIn): number[] {
  const texts = [...standIn.world.channels.values()].flatMap((channel) =>
    channel.messages.map((each) => each.content),
  );
  return NOTICES.map((notice) => texts.filter((text) => text.includes(notice)).length);
}

function pick(story: Story | undefined): object {
  return { standing: story?.standing, killed: story?.killed };
}

/** Two at a time: what a small machine bears. */
async function inPairs<In, Out>(items: readonly In[], work: (item: In) => Promise<Out>): Promise<Out[]> {
  const results: Out[] = [];
  let next = 0;
  const worker = async (): Promise<void> => {
    while (next < items.length) {
      const index = next++;
      results[index] = await work(items[index] as In);
    }
  };
  await Promise.all([worker(), worker()]);
  return results;
}
