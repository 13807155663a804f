/** The outbox: every stored notice reaches its place, in order, once, whatever breaks in between. */
import type { Clock } from "../base/clock.js";
import type { Log } from "../base/log.js";
import type { Desk } from "../journal/desk.js";
import type { Notice } from "../journal/notice.js";
import { Lane } from "./lane.js";
import type { Carrier } from "./parcel.js";
import { LONGEST_TRYING } from "./retry.js";

export interface OutboxParts {
  readonly desk: Desk;
  /** The surfaces that are on; notices for others wait until they are, or for `LONGEST_TRYING`. */
  readonly surfaces: readonly Carrier[];
  readonly clock: Clock;
  readonly log: Log;
}

export interface Outbox {
  /** Sends nothing more; resolves when messages on their way have been answered and recorded. */
  stop(): Promise<void>;
}

/** Begins with what is pending in the journal, then sends what is added to it. */
export function startOutbox({ desk, surfaces, clock, log }: OutboxParts): Outbox {
  const carriers = new Map(surfaces.map((surface) => [surface.name, surface]));
  const lanes = new Map<string, Lane>();
  const unreachable = unreachableNotices({ desk, clock, log });

  for (const [name, notices] of byLane(desk.state.outbox.values())) {
    const carrier = carriers.get((notices[0] as Notice).to.surface);
    if (carrier) lanes.set(name, new Lane({ desk, carrier, clock, log }, notices));
    else unreachable.add(notices);
  }
  const silence = desk.listen((entry) => {
    for (const [name, notices] of byLane(entry.notices)) {
      const carrier = carriers.get((notices[0] as Notice).to.surface);
      if (!carrier) {
        unreachable.add(notices);
        continue;
      }
      const lane = lanes.get(name) ?? new Lane({ desk, carrier, clock, log });
      lanes.set(name, lane);
      lane.add(notices);
      lane.work();
    }
  });
  for (const lane of lanes.values()) lane.work();

  return {
    async stop() {
      silence();
      unreachable.stop();
      await Promise.all([...lanes.values()].map((lane) => lane.stop()));
    },
  };
}

/** One lane for each channel, and one for each person who is written to directly. */
function byLane(notices: Iterable<Notice>): Map<string, Notice[]> {
  const lanes = new Map<string, Notice[]>();
  for (const notice of notices) {
    const { to, audience, people } = notice;
    const direct = audience === "person" ? people.join("+") : "";
    const name = [to.surface, to.channel, direct].join("\n");
    const lane = lanes.get(name);
    if (lane) lane.push(notice);
    else lanes.set(name, [notice]);
  }
  return lanes;
}

/** Notices for surfaces that are off: kept for their return, and dropped when that takes too long. */
function unreachableNotices({ desk, clock, log }: Omit<OutboxParts, "surfaces">) {
  const callOffs = new Set<() => void>();

  const drop = async (notices: readonly Notice[]): Promise<void> => {
    const keys = notices.map((notice) => notice.key);
    const surface = notices[0]?.to.surface;
    const reason = `${surface} has been off for ${LONGEST_TRYING / 86_400_000} days`;
    try {
      await desk.act(
        (state) => {
          const pending = keys.filter((key) => state.outbox.has(key));
          return pending.length > 0 ? [{ type: "notices.dropped", keys: pending, reason }] : [];
        },
        { by: "outbox" },
      );
    } catch (error) {
      log.error({ reason: (error as Error).message }, "the journal refused to drop notices; they stay");
    }
  };

  return {
    add(notices: readonly Notice[]): void {
      const newest = Math.max(...notices.map((notice) => notice.atUnixMs));
      const callOff = clock.at(Math.max(newest + LONGEST_TRYING, clock.now()), () => {
        callOffs.delete(callOff);
        void drop(notices);
      });
      callOffs.add(callOff);
    },
    stop(): void {
      for (const callOff of callOffs) callOff();
    },
  };
}
