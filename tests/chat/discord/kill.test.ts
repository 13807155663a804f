/** Whatever instant the program dies at between a notice and its record, each notice stands once afterwards. */
import { type ChildProcess, fork } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setImmediate as turn } from "node:timers/promises";
import { describe, expect, it } from "vitest";
import { ScaledClock, systemClock } from "../../../src/base/clock.js";
import { type Log, silentLog } from "../../../src/base/log.js";
import { HOUR, MINUTE } from "../../../src/base/units.js";
import type { DiscordSurface } from "../../../src/chat/discord/surface.js";
import { MemoryStore } from "../../../src/journal/memory/memory-store.js";
import { Life, openOver } from "../../notices/mortal-desk.js";
import { openCable } from "./cable.js";
import type { ChildTask } from "./crash-child.js";
import { configFor } from "./set-up.js";
import { type StandIn, startStandIn } from "./stand-in/stand-in.js";
import { type Audience, deriveFor, TOLD, tellClass, watched } from "./telling.js";

const CHILD = "dist/with-tests/tests/chat/discord/crash-child.js";
/** Requests that carry a notice, with what to call them. */
const REQUESTS: readonly [string, RegExp, string][] = [
  ["POST", /^\/channels\/\d+\/messages$/, "a message"],
  ["POST", /^\/users\/@me\/channels$/, "a direct channel"],
];
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
const EACH_ONCE = TOLD.map(() => 1);

describe("dying while it tells a class", () => {
  it("at whatever step, it loses no notice and repeats none", async () => {
    const undisturbed = await tellStory(inMemory, null);
    expect(undisturbed).toMatchObject({ standing: EACH_ONCE, died: false });
    const { steps } = undisturbed;
    for (const step of STEPS) expect(steps).toContain(step);
    for (const step of steps)
      expect(await tellStory(inMemory, step), step).toMatchObject({ standing: EACH_ONCE, died: true });
  });

  it.each(["a message is stored but not answered (1)", "before notices.delivered is recorded (1)"])(
    "nor when a real process is killed with -9 where %s",
    async (step) => {
      expect(await tellStory(asProcess, step)).toMatchObject({ standing: EACH_ONCE, died: true });
    },
    120_000,
  );
});

interface Story {
  /** Steps passed before its death, by the program and by the stand-in, in order. */
  readonly steps: string[];
  /** How often each of what was told stands in the end. */
  readonly standing: number[];
  readonly died: boolean;
}

/** One program from its start to its death, over what the earlier ones left behind. */
interface Run {
  /** Nothing is left to do. */
  readonly idle: Promise<void>;
  readonly dead: Promise<void>;
  /** Ends it at once, as a kill does. */
  kill(): void;
  /** Leaves nothing behind. */
  end(): Promise<void>;
}

/** Makes runs that share a disk. `steps` is told of each step; a run dies at `dieAt`. */
type Start = (audience: Audience, dieAt: string | null, steps: string[]) => Promise<Run>;

/** One class hears four things from a program that dies at a step and is started again, an hour later. */
async function tellStory(kind: () => Start, dieAt: string | null): Promise<Story> {
  const clock = systemClock();
  let later = 0;
  const standIn = await startStandIn({ clock: { now: () => clock.now() + later } });
  const runs: Run[] = [];
  try {
    const audience = audienceOn(standIn);
    const start = kind();
    const steps: string[] = [];
    let kill = (): void => {};
    watchRequests(standIn, steps, dieAt, () => kill());
    const first = await start(audience, dieAt, steps);
    runs.push(first);
    kill = first.kill;
    const died = await Promise.race([first.idle.then(() => false), first.dead.then(() => true)]);
    const passed = [...steps];
    if (died) {
      standIn.faults.clear();
      // Past the life of a nonce: only looking back can tell what stands.
      later = HOUR;
      const second = await start(audience, null, []);
      runs.push(second);
      await second.idle;
    }
    return { steps: passed, standing: count(standIn), died };
  } finally {
    await Promise.all(runs.map((run) => run.end()));
    await standIn.stop();
  }
}

/** In this process, over a store in memory: at its death its writes and its connections end for good. */
function inMemory(): Start {
  const disk = new MemoryStore();
  return async (audience, dieAt, steps) => {
    const life = new Life();
    const clock = new ScaledClock(systemClock().now(), 1);
    const cable = await openCable(audience.config.discord.apiUrl as string);
    const discord = { ...audience.config.discord, apiUrl: cable.url };
    const onItsCable = { ...audience, config: { ...audience.config, discord } };
    let surface: DiscordSurface | undefined;
    let dies = (): void => {};
    const dead = new Promise<void>((done) => {
      dies = done;
    });
    const kill = (): void => {
      life.end();
      cable.cut();
      dies();
    };
    const pass = async (step: string): Promise<void> => {
      if (!life.over) steps.push(step);
      if (step === dieAt) kill();
      await life.step();
    };
    const desk = await openOver(disk, life, clock, deriveFor(audience));
    const idle = new Promise<void>((done, fail) => {
      const broken: Log["error"] = (details, message) =>
        life.over || fail(new Error(`${message}: ${JSON.stringify(details)}`));
      const log = { ...silentLog, error: broken };
      const teller = { desk: watched(desk, clock, pass), clock, log, onIdle: done };
      tellClass(onItsCable, teller).then((told) => {
        surface = told;
      }, fail);
    });
    return {
      idle,
      dead,
      kill,
      end: async () => {
        kill();
        const stopped = surface?.stop();
        await turn();
        // It waits for records that never come.
        clock.jumpTo(clock.now() + MINUTE);
        await stopped;
      },
    };
  };
}

/** The compiled program, in a process of its own, with its journal on disk. */
function asProcess(): Start {
  return async (audience, dieAt, _steps) => {
    const file = join(audience.folder, "task.json");
    const task: ChildTask = { ...audience, dieAt };
    writeFileSync(file, JSON.stringify(task));
    const child: ChildProcess = fork(CHILD, [file], { stdio: ["ignore", "ignore", "inherit", "ipc"] });
    const dead = once(child, "exit").then(() => {});
    const kill = (): void => void child.kill("SIGKILL");
    return {
      idle: once(child, "message").then(() => {}),
      dead,
      kill,
      end: () => {
        kill();
        return dead;
      },
    };
  };
}

function audienceOn(standIn: StandIn): Audience {
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
  };
}

/** Names each arrival and each effect of a request, and kills the program at the one asked for. */
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

function count(standIn: StandIn): number[] {
  const texts = [...standIn.world.channels.values()].flatMap((channel) =>
    channel.messages.map((each) => each.content),
  );
  return TOLD.map((notice) => texts.filter((text) => text.includes(notice)).length);
}
