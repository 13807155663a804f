/** An evening for a telescope link under test: two requests in a journal whose disk can refuse, on a clock moved by hand. */

import { type Log, silentLog } from "../../src/base/log.js";
import { HOUR, SECOND } from "../../src/base/units.js";
import { loadConfig } from "../../src/config/load.js";
import { openForecast } from "../../src/estimates/open-forecast.js";
import { emptyState } from "../../src/journal/draft.js";
import { type FrameRecord, type NightslateEvent, TELESCOPE } from "../../src/journal/events.js";
import { Journal } from "../../src/journal/journal.js";
import { JournalDesk } from "../../src/journal/journal-desk.js";
import { MemoryStore } from "../../src/journal/memory/memory-store.js";
import { openSqlite } from "../../src/journal/sqlite/open.js";
import type { TelescopeStatus } from "../../src/journal/telescope-status.js";
import type { Wish } from "../../src/queue/request.js";
import { TelescopeDriver } from "../../src/telescope/driver.js";
import type { FrameOrder } from "../../src/telescope/frames/frame-order.js";
import type { TelescopeLink } from "../../src/telescope/link.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import { emptyPlace, JUNE_NIGHT } from "./practice/practice-example.js";

/** A store that a full disk refuses while `full` is set. */
export class Disk extends MemoryStore {
  full = false;

  override async setMany(rows: Parameters<MemoryStore["setMany"]>[0]): Promise<boolean[]> {
    if (this.full) throw Object.assign(new Error("database or disk is full"), { code: "SQLITE_FULL" });
    return super.setMany(rows);
  }
}

export type MakeFrame = (order: FrameOrder) => Promise<FrameRecord>;

/** A frame that is there at once and holds nothing. */
export const plainFrame: MakeFrame = async ({ request, index, startUnixMs }) => ({
  ...{ index, startUnixMs, exposureSeconds: request.exposureSeconds, filter: request.filter },
  ...{ imageFile: null, previewFile: null, verdict: null, simulated: false },
});

/** Makes a link for an evening; called again at each restart. */
export type Opens = (makeFrame: MakeFrame) => TelescopeLink;

const config = loadConfig("config/tern-hollow.yaml");

/** Somebody asks; unless it says otherwise, a student for two frames of half a minute. */
export function asked(
  number: number,
  says: Partial<Wish> & { owner?: string; tier?: number } = {},
): NightslateEvent {
  const { owner = "terminal:mira", tier = 1, ...wish } = says;
  const usual = { target: emptyPlace, filter: "V", exposureSeconds: 30, frames: 2, notBeforeUnixMs: null };
  return {
    ...{ type: "request.made", number, wish: { ...usual, note: null, ...wish }, owner, tier },
    ...{ classId: "evening-2", group: null, via: { surface: "terminal", channel: "main" } },
  };
}

export class Evening {
  readonly clock = new ManualClock(JUNE_NIGHT);
  readonly disk = new Disk();
  readonly desk = new JournalDesk(
    new Journal({ store: this.disk, explain: openSqlite(".").explain }),
    emptyState(),
    0,
    {
      clock: this.clock,
      derive: () => [],
      log: silentLog,
    },
  );
  readonly forecast = openForecast({ desk: this.desk, config, clock: this.clock });
  driver: TelescopeDriver;

  constructor(
    private readonly opens: Opens,
    private makeFrame: MakeFrame = plainFrame,
    private readonly log: Log = silentLog,
  ) {
    this.driver = this.newDriver();
  }

  /** Two requests for an empty place, and a telescope that starts. */
  static async begin(opens: Opens, makeFrame?: MakeFrame, log?: Log): Promise<Evening> {
    const evening = new Evening(opens, makeFrame, log);
    await evening.desk.act(() => [asked(1), asked(2)], { by: "terminal:mira" });
    await evening.start();
    return evening;
  }

  /** Journals events and lets what follows from them begin. */
  async happen(...events: NightslateEvent[]): Promise<void> {
    await this.desk.act(() => events, { by: "test" });
    await this.settle();
  }

  /** Somebody asks for the same again. */
  ask(number: number): Promise<void> {
    return this.happen(asked(number));
  }

  /** The program ends and starts again over the same journal. */
  async restart(makeFrame: MakeFrame = this.makeFrame): Promise<void> {
    await this.driver.stop();
    this.makeFrame = makeFrame;
    this.driver = this.newDriver();
    await this.start();
  }

  async reach(activity: TelescopeStatus["activity"]): Promise<void> {
    for (let step = 0; step < 1_000 && this.driver.status().activity !== activity; step++)
      await this.go(2 * SECOND);
  }

  go(ms: number): Promise<void> {
    return this.clock.moveTo(this.clock.now() + ms);
  }

  /** What happened to the requests, in order, ending after an hour more. */
  async toTheEnd(): Promise<string[]> {
    await this.go(HOUR);
    await this.driver.stop();
    return this.said();
  }

  async said(): Promise<string[]> {
    const seen: string[] = [];
    for await (const { events } of this.desk.entries())
      for (const event of events)
        if (/^(request\.(taken|completed|failed)|frame\.done)$/.test(event.type) && "number" in event)
          seen.push(`${event.type} ${event.number}`);
    return seen;
  }

  settle(): Promise<void> {
    return this.clock.moveTo(this.clock.now());
  }

  /** A link that asks for an operator finds one. */
  private async start(): Promise<void> {
    await this.driver.start();
    await this.settle();
    if (this.desk.state.hold?.by === TELESCOPE) await this.resume();
  }

  /** An operator has looked, confirms that nobody is at the machines, and lifts the hold. */
  resume(): Promise<void> {
    return this.happen({ type: "hold.lifted", by: "terminal:okoro", nobodyInside: true });
  }

  private newDriver(): TelescopeDriver {
    const { desk, clock, forecast } = this;
    const link = this.opens((order) => this.makeFrame(order));
    return new TelescopeDriver({ desk, clock, config, forecast, log: this.log, link });
  }
}
