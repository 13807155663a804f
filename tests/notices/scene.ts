/** A small class on a memory desk, for tests of notices and schedule. */

import { type Phrase, renderPhrase } from "../../src/base/phrase.js";
import { MINUTE, type UtcMillis } from "../../src/base/units.js";
import type { Config } from "../../src/config/config.js";
import { loadConfig } from "../../src/config/load.js";
import type { Estimate } from "../../src/estimates/forecast-service.js";
import type { Desk } from "../../src/journal/desk.js";
import type { AlertChoice, FrameRecord, NightslateEvent, Verdict } from "../../src/journal/events.js";
import type { Notice } from "../../src/journal/notice.js";
import { openMemoryDesk } from "../../src/journal/open-desk.js";
import { deriveNotices } from "../../src/notices/derive.js";
import type { Address, Role } from "../../src/queue/request.js";
import type { FixedTarget } from "../../src/sky/target.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import { venuesOf } from "../../src/wiring/surfaces.js";

export const EVENING = "evening-2";
export const MORNING = "morning-1";
/** Wednesday 25 November 2026, 20:00 in Chicago: dark, and no quiet hours. */
export const EIGHT_PM = Date.UTC(2026, 10, 26, 2, 0);

const channel = (name: string): Address => ({ surface: "hall", channel: name });
export const EVENING_CHANNEL = channel("evening");
export const MORNING_CHANNEL = channel("morning");

/** Tern Hollow with a second class that shares the telescope. */
export function twoClasses(): Config {
  const config = loadConfig("config/tern-hollow.yaml");
  const [evening] = config.classes;
  if (!evening) throw new Error("the example has no class");
  const morning = {
    ...evening,
    id: MORNING,
    name: "Morning Survey, section 1",
    students: [],
    instructors: [],
    operators: [],
  };
  return { ...config, classes: [evening, morning] };
}

const M13: FixedTarget = {
  kind: "fixed",
  id: "M13",
  name: "Hercules Cluster (M13)",
  type: "globular cluster",
  raDegrees: 250.42,
  decDegrees: 36.46,
  magnitude: 5.8,
  sizeArcminutes: 20,
};

export const usable: Verdict = { is: "usable", starsSeen: 143, backgroundElectrons: 210 };
export function black(
  because: Exclude<Verdict, { is: "usable" }>["because"],
  sunAltitudeDegrees = -40,
): Verdict {
  const is = because === "no-camera" ? "synthetic" : "black";
  return { is, because, sunAltitudeDegrees, medianAdu: 1003, starsExpected: 40, starsSeen: 1 };
}

export class Scene {
  readonly clock: ManualClock;
  readonly desk: Desk;
  readonly config: Config;

  constructor(
    nowUnixMs: UtcMillis = EIGHT_PM,
    config: Config = twoClasses(),
    desk?: (clock: ManualClock, config: Config) => Desk,
  ) {
    this.config = config;
    this.clock = new ManualClock(nowUnixMs);
    this.desk =
      desk?.(this.clock, config) ??
      openMemoryDesk({ clock: this.clock, derive: deriveNotices(config, venuesOf(config)) });
  }

  /** Journals events and returns the notices that follow. */
  async happen(...events: NightslateEvent[]): Promise<readonly Notice[]> {
    const { entry } = await this.desk.act(() => events, { by: "test" });
    return entry?.notices ?? [];
  }

  /** A person of a class, at home in that class's channel. */
  async join(name: string, classId = EVENING, role: Role = "student", home?: Address): Promise<string> {
    const id = `hall:${name}`;
    const place = home ?? (classId === EVENING ? EVENING_CHANNEL : MORNING_CHANNEL);
    const capital = name.charAt(0).toUpperCase() + name.slice(1);
    await this.happen({
      type: "person.joined",
      person: { id, name: capital, classId, role, group: null, home: place },
    });
    return id;
  }

  async choose(
    personId: string,
    how: AlertChoice["how"],
    quietFrom: string | null = null,
    quietUntil: string | null = null,
  ): Promise<void> {
    await this.happen({ type: "person.alerts", personId, choice: { how, quietFrom, quietUntil } });
  }

  /** A request for M13; returns its number. */
  async ask(owner: string, tier = 1): Promise<number> {
    const number = this.desk.state.nextNumber;
    const classId = this.desk.state.people.get(owner)?.classId ?? EVENING;
    const via = this.desk.state.people.get(owner)?.home ?? EVENING_CHANNEL;
    const wish = {
      target: M13,
      filter: "V",
      exposureSeconds: 20,
      frames: 3,
      notBeforeUnixMs: null,
      note: null,
    };
    await this.happen({ type: "request.made", number, wish, owner, classId, group: null, tier, via });
    return number;
  }

  take(number: number, minutes = 3): Promise<readonly Notice[]> {
    const freeUnixMs = this.clock.now() + minutes * MINUTE;
    return this.happen({
      type: "request.taken",
      number,
      freeUnixMs,
      altitudeDegrees: 61.7,
      airmass: 1.135,
      pointingAfter: null,
    });
  }

  /** Takes and completes a request with a frame for each verdict given. */
  async complete(number: number, verdicts: readonly (Verdict | null)[]): Promise<readonly Notice[]> {
    await this.take(number);
    for (const [index, verdict] of verdicts.entries()) {
      await this.happen({ type: "frame.done", number, frame: this.frame(number, index + 1, verdict) });
    }
    return this.happen({ type: "request.completed", number });
  }

  frame(number: number, index: number, verdict: Verdict | null): FrameRecord {
    return {
      index,
      startUnixMs: this.clock.now() + index * 24_000,
      exposureSeconds: 20,
      filter: "V",
      imageFile: `frames/${number}-${index}.fits`,
      previewFile: `frames/${number}-${index}.png`,
      verdict,
      simulated: true,
    };
  }
}

/** An estimate that says no more than its start. */
export function estimate(number: number, place: number | null, startUnixMs: UtcMillis | null): Estimate {
  return {
    number,
    place,
    startUnixMs,
    earliestUnixMs: startUnixMs,
    latestUnixMs: startUnixMs,
    chanceTonight: startUnixMs === null ? 0 : 1,
    turn: null,
    noTurn: null,
    altitudeDegrees: null,
    laterUnixMs: null,
  };
}

/** A phrase as a reader at the site sees it: clock times local, people by id in brackets. */
function read(phrase: Phrase, timeZone = "America/Chicago"): string {
  return renderPhrase(phrase, {
    text: (plain) => plain,
    strong: (text) => text,
    person: (id) => `<${id}>`,
    time: ({ timeUnixMs, style }) =>
      new Intl.DateTimeFormat("en-GB", {
        timeZone,
        ...(style === "clock" ? {} : { day: "numeric", month: "short" }),
        hour: "2-digit",
        minute: "2-digit",
      }).format(timeUnixMs),
  });
}

/** A notice's title and lines as text. */
export function readNotice({ title, lines }: Pick<Notice, "title" | "lines">): string {
  return [title, ...lines.map((line) => read(line))].join("\n");
}
