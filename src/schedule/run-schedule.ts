/** Runs what is scheduled, on the clock given: each minute, at agreed ends, and at the start what was missed. */
import type { CallOff, Clock } from "../base/clock.js";
import type { Log } from "../base/log.js";
import { MINUTE, type UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import type { ForecastService } from "../estimates/forecast-service.js";
import type { Desk } from "../journal/desk.js";
import { type Job, jobsFor } from "./jobs.js";
import { timedEnds } from "./timed-ends.js";

export interface ScheduleParts {
  readonly desk: Desk;
  readonly clock: Clock;
  readonly config: Config;
  readonly forecast: Pick<ForecastService, "order" | "estimate">;
  readonly log: Log;
}

/** Begins at once with what was missed while the machine was off. */
export const runSchedule = (parts: ScheduleParts): Schedule => new Schedule(parts);

export class Schedule {
  private readonly jobs: readonly Job[];
  private readonly silence: CallOff;
  private callOff: CallOff = () => {};
  private work: Promise<void> = Promise.resolve();
  private stopped = false;

  constructor(private readonly parts: ScheduleParts) {
    this.jobs = jobsFor(parts);
    this.silence = parts.desk.listen(({ events }) => {
      if (events.some(({ type }) => type === "hold.placed" || type === "session.opened")) this.arm();
    });
    this.turn();
  }

  /** Runs nothing more; resolves when what is under way is stored. */
  async stop(): Promise<void> {
    this.stopped = true;
    this.silence();
    this.callOff();
    await this.work;
  }

  /** Sets the alarm for the next turn, and does what is due, one after the other. */
  private turn(): void {
    this.arm();
    this.work = this.work.then(async () => {
      try {
        await this.endWhatIsOver();
        for (const { job, dueUnixMs } of this.dueJobs()) await this.run(job, dueUnixMs);
      } catch (error) {
        this.parts.log.error({ reason: (error as Error).message }, "a scheduled job will be tried again");
      }
    });
  }

  private arm(): void {
    this.callOff();
    if (this.stopped) return;
    const { clock, desk } = this.parts;
    const now = clock.now();
    const nextMinute = (Math.floor(now / MINUTE) + 1) * MINUTE;
    const nextEnd = timedEnds(desk.state).find(({ atUnixMs }) => atUnixMs > now)?.atUnixMs ?? nextMinute;
    this.callOff = clock.at(Math.min(nextMinute, nextEnd), () => this.turn());
  }

  private async endWhatIsOver(): Promise<void> {
    const { desk, clock } = this.parts;
    for (const { atUnixMs } of timedEnds(desk.state)) {
      if (atUnixMs > clock.now()) break;
      await desk.act(
        (state) => timedEnds(state).flatMap((end) => (end.atUnixMs <= atUnixMs ? [end.event] : [])),
        { by: "schedule", atUnixMs },
      );
    }
  }

  /** In the order in which they were due. */
  private dueJobs(): { job: Job; dueUnixMs: UtcMillis }[] {
    const { desk, clock } = this.parts;
    const due = this.jobs.flatMap((job) => {
      const dueUnixMs = job.due(desk.state.jobs.get(job.name) ?? null, clock.now());
      return dueUnixMs === null ? [] : [{ job, dueUnixMs }];
    });
    return due.sort((a, b) => a.dueUnixMs - b.dueUnixMs);
  }

  /** The effect and its record are one entry: never one without the other, and never twice. */
  private async run(job: Job, dueUnixMs: UtcMillis): Promise<void> {
    await this.parts.desk.act(
      (state, now) => {
        if ((state.jobs.get(job.name) ?? -Infinity) >= dueUnixMs) return [];
        return [...job.events(state, dueUnixMs, now), { type: "job.ran", job: job.name, dueUnixMs }];
      },
      { by: "schedule" },
    );
  }
}
