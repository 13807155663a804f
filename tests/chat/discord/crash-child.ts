/** A process of its own that tells a class four things, and dies at the instant it is told to. */
import { readFileSync } from "node:fs";
import { systemClock } from "../../../src/base/clock.js";
import { openLog } from "../../../src/base/log.js";
import { DiscordSurface } from "../../../src/chat/discord/surface.js";
import type { SurfaceHost } from "../../../src/chat/surface.js";
import type { Services } from "../../../src/commands/services.js";
import type { Config } from "../../../src/config/config.js";
import type { DeriveNotices, Desk } from "../../../src/journal/desk.js";
import type { NightslateEvent } from "../../../src/journal/events.js";
import type { Notice } from "../../../src/journal/notice.js";
import { openDesk } from "../../../src/journal/open-desk.js";
import { startOutbox } from "../../../src/notices/outbox.js";

export interface ChildTask {
  readonly config: Config;
  readonly token: string;
  readonly folder: string;
  readonly channelId: string;
  /** Someone who refuses direct messages. */
  readonly refuserId: string;
  /** The step at which to die; null to live on. */
  readonly dieAt: string | null;
}

/** What the child tells its parent: a step it passes, or that nothing is left to do. */
export type ChildWord = { readonly step: string } | { readonly idle: true };

const task = JSON.parse(readFileSync(process.argv[2] as string, "utf8")) as ChildTask;
const tell = (word: ChildWord): void => void process.send?.(word);

const clock = systemClock();
const log = openLog(`${task.folder}/child.log`);
const desk = watched(await openDesk({ store: { kind: "sqlite", folder: task.folder }, clock, derive, log }));
const host = hostOf(desk);
const surface = new DiscordSurface({ ...task, log, say: () => {}, table: [], realClock: clock });
const isNew = desk.state.lastEntryId === 0;
await surface.start(host);
startOutbox({ desk, surfaces: [surface], clock, log });
if (isNew) {
  // The first goes alone; the others wait for it and are merged; the last goes directly.
  await announce("Notice A");
  await announce("Notice B", "Notice C", "direct: Notice D");
}
/** Nothing left to send, and both the board and the refusal are remembered. */
const tellIfIdle = (): void => {
  const remembered = desk.state.remembered.get("discord")?.size ?? 0;
  if (desk.state.outbox.size === 0 && remembered === 2) tell({ idle: true });
};
desk.listen(tellIfIdle);
tellIfIdle();

function announce(...texts: string[]): Promise<unknown> {
  const events = texts.map(
    (text): NightslateEvent => ({ type: "announcement.made", classId: "evening-2", text, by: "test" }),
  );
  return desk.act(() => events, { by: "test" });
}

function derive({ id, events, atUnixMs }: Parameters<DeriveNotices>[0]): Notice[] {
  return events.flatMap((event, index) => {
    if (event.type !== "announcement.made") return [];
    const direct = event.text.startsWith("direct: ");
    return {
      key: `${id}:announcement:${index}`,
      kind: "announcement",
      atUnixMs,
      to: { surface: "discord", channel: task.channelId },
      classId: event.classId,
      people: direct ? [`discord:${task.refuserId}`] : [],
      audience: direct ? "person" : "class",
      title: event.text,
      lines: [],
      attachment: null,
      quiet: false,
      actions: [],
    } satisfies Notice;
  });
}

/** The desk, with a step before and after each record that matters for delivery. */
function watched(real: Desk): Desk {
  const counts = new Map<string, number>();
  const pass = (step: string): void => {
    const count = (counts.get(step) ?? 0) + 1;
    counts.set(step, count);
    const name = `${step} (${count})`;
    tell({ step: name });
    if (name === task.dieAt) process.kill(process.pid, "SIGKILL");
  };
  return {
    get state() {
      return real.state;
    },
    listen: (listener) => real.listen(listener),
    entries: (from) => real.entries(from),
    close: () => real.close(),
    async act(decide, options) {
      const type = decide(real.state, clock.now())[0]?.type ?? "nothing";
      if (!/^(parcel|notices|surface)\./.test(type)) return real.act(decide, options);
      pass(`before ${type} is recorded`);
      const acted = await real.act(decide, options);
      pass(`after ${type} is recorded`);
      return acted;
    },
  };
}

function hostOf(desk: Desk): SurfaceHost {
  const refuse = (): never => {
    throw new Error("no commands here");
  };
  return {
    services: { desk, clock, config: task.config } as unknown as Services,
    clock,
    log,
    dataFolder: task.folder,
    run: refuse,
    runText: refuse,
    suggest: () => [],
    welcome: async () => {},
    nameFor: () => "someone",
    board: (classId) => ({ classId, title: "Board", lines: [["Now: nothing."]] }),
  };
}
