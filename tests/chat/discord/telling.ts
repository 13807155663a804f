/** A class is told four things by the real surface and outbox; every record that matters for delivery is a step that is named. */
import type { Clock } from "../../../src/base/clock.js";
import type { Log } from "../../../src/base/log.js";
import { DiscordSurface } from "../../../src/chat/discord/surface.js";
import type { SurfaceHost } from "../../../src/chat/surface.js";
import type { Services } from "../../../src/commands/services.js";
import type { Config } from "../../../src/config/config.js";
import type { DeriveNotices, Desk } from "../../../src/journal/desk.js";
import type { NightslateEvent } from "../../../src/journal/events.js";
import type { Notice } from "../../../src/journal/notice.js";
import { startOutbox } from "../../../src/notices/outbox.js";
import { venuesOf } from "../../../src/wiring/surfaces.js";

/** Whom to tell, and where. */
export interface Audience {
  readonly config: Config;
  readonly token: string;
  readonly folder: string;
  readonly channelId: string;
  /** Someone who refuses direct messages. */
  readonly refuserId: string;
}

export interface Teller {
  readonly desk: Desk;
  readonly clock: Clock;
  readonly log: Log;
  /** Called once nothing is left to do. */
  readonly onIdle: () => void;
}

/** What stands in the class's channel in the end, each once. */
export const TOLD = ["Notice A", "Notice B", "Notice C", "Notice D", "Board"];

/** Tells it on a desk that is new, and goes on with it on one that is not. */
export async function tellClass(audience: Audience, teller: Teller): Promise<DiscordSurface> {
  const { desk, clock, log, onIdle } = teller;
  const surface = new DiscordSurface({ ...audience, log, say: () => {}, table: [], realClock: clock });
  const isNew = desk.state.lastEntryId === 0;
  await surface.start(hostOf(audience, teller));
  startOutbox({ desk, surfaces: [surface], clock, log });
  if (isNew) {
    // The first goes alone; the others wait for it and are merged; the last goes directly.
    await announce(desk, "Notice A");
    await announce(desk, "Notice B", "Notice C", "direct: Notice D");
  }
  /** Nothing left to send, and both the board and the refusal are remembered. */
  const tellIfIdle = (): void => {
    const remembered = desk.state.remembered.get("discord")?.size ?? 0;
    if (desk.state.outbox.size === 0 && remembered === 2) onIdle();
  };
  desk.listen(tellIfIdle);
  tellIfIdle();
  return surface;
}

function announce(desk: Desk, ...texts: string[]): Promise<unknown> {
  const events = texts.map(
    (text): NightslateEvent => ({ type: "announcement.made", classId: "evening-2", text, by: "test" }),
  );
  return desk.act(() => events, { by: "test" });
}

/** Of an announcement for the audience its notice. */
export function deriveFor({ channelId, refuserId }: Audience): DeriveNotices {
  return ({ id, events, atUnixMs }) =>
    events.flatMap((event, index): Notice[] => {
      if (event.type !== "announcement.made") return [];
      const direct = event.text.startsWith("direct: ");
      return [
        {
          key: `${id}:announcement:${index}`,
          kind: "announcement",
          atUnixMs,
          to: { surface: "discord", channel: channelId },
          classId: event.classId,
          people: direct ? [`discord:${refuserId}`] : [],
          audience: direct ? "person" : "class",
          title: event.text,
          lines: [],
          attachment: null,
          quiet: false,
          actions: [],
        },
      ];
    });
}

/** The desk, with a step before and after each record that matters for delivery; `pass` is waited for. */
export function watched(real: Desk, clock: Clock, pass: (step: string) => Promise<void> | void): Desk {
  const counts = new Map<string, number>();
  const count = (step: string): string => {
    counts.set(step, (counts.get(step) ?? 0) + 1);
    return `${step} (${counts.get(step)})`;
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
      await pass(count(`before ${type} is recorded`));
      const acted = await real.act(decide, options);
      await pass(count(`after ${type} is recorded`));
      return acted;
    },
  };
}

function hostOf({ config, folder }: Audience, { desk, clock, log }: Teller): SurfaceHost {
  const refuse = (): never => {
    throw new Error("no commands here");
  };
  return {
    services: { desk, clock, config, venues: venuesOf(config) } as unknown as Services,
    clock,
    log,
    dataFolder: folder,
    run: refuse,
    runText: refuse,
    suggest: () => [],
    welcome: async () => {},
    nameFor: () => "someone",
    board: (classId) => ({ classId, title: "Board", lines: [["Now: nothing."]] }),
  };
}
