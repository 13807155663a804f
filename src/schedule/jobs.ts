/** The scheduled jobs: when each is due, and what it does. */
import { DAY, HOUR, MINUTE, type UtcMillis } from "../base/units.js";
import type { Config } from "../config/config.js";
import type { ForecastService } from "../estimates/forecast-service.js";
import { differencesFrom, eventsOf } from "../estimates/moves.js";
import type { NightslateEvent, ToldEstimate } from "../journal/events.js";
import type { State } from "../journal/state.js";
import { darkHours } from "../notices/darkness.js";
import { MORNING_JOB } from "../notices/morning.js";
import { CARRIES_OVER } from "../notices/words/estimates.js";
import type { Observatory } from "../observatory/observatory.js";
import { bestStart } from "../queue/best-start.js";
import { leastTime } from "../queue/least-time.js";
import { nightOf } from "../sky/night.js";
import { CronTimes } from "./cron-times.js";

export interface JobParts {
  readonly config: Config;
  readonly forecast: Pick<ForecastService, "order" | "estimate">;
}

export interface Job {
  /** Under this name the journal keeps when it last ran. */
  readonly name: string;
  /**
   * The latest time up to now for which it has still to run; earlier ones are not made up for.
   * @param ranForUnixMs the due time it last ran for; null: it never ran
   */
  due(ranForUnixMs: UtcMillis | null, nowUnixMs: UtcMillis): UtcMillis | null;
  /** What happens then; the run is recorded with it. */
  events(state: State, dueUnixMs: UtcMillis, nowUnixMs: UtcMillis): readonly NightslateEvent[];
}

/** All jobs that are recorded by name; ends of holds and sessions are the state's own (see timed-ends.ts). */
export function jobsFor(parts: JobParts): readonly Job[] {
  return [nightRoll(parts), duskNote(parts), morningSummary(parts), forgetting(parts)];
}

/** At local noon the new night begins; what waits carries over and is told its new estimate with it. */
function nightRoll({ config, forecast }: JobParts): Job {
  const zone = config.observatory.site.timeZone;
  const noon = unlooked(new CronTimes("0 12 * * *", zone));
  return {
    name: "night-roll",
    due: (ranFor, now) => (ranFor === null ? nightOf(now, zone).startUnixMs : noon(ranFor, now)),
    events: (state, _due, now) => {
      const { date } = nightOf(now, zone);
      if (state.night === date) return [];
      const { first, moved } = differencesFrom(
        forecast.order(),
        state.told,
        config.notices.movedMinutes * MINUTE,
      );
      const moves = moved.map((move) => ({ ...move, because: CARRIES_OVER }));
      return [
        { type: "night.began", date, carriedOver: [...state.waiting] },
        ...bestOfNewNight(state, now, config.observatory),
        ...eventsOf({ told: first, moves, next: null, overtaken: [], missed: null }, state),
      ];
    },
  };
}

/** Whoever waits for a target's best waits for that of the night that begins. */
function bestOfNewNight(state: State, now: UtcMillis, observatory: Observatory): NightslateEvent[] {
  return [...state.waiting].flatMap((number): NightslateEvent[] => {
    const request = state.requests.get(number);
    if (!request?.best) return [];
    const from = Math.max(now, request.best.notBeforeUnixMs ?? now);
    const best = bestStart(request.target, leastTime(request, observatory), from, observatory);
    const notBeforeUnixMs = best?.startUnixMs ?? request.best.notBeforeUnixMs;
    return [{ type: "request.earliest", number, notBeforeUnixMs, best: request.best, because: "new-night" }];
  });
}

/** When it is dark enough for faint targets; made up for until it is light again. */
function duskNote({ config: { observatory } }: JobParts): Job {
  const zone = observatory.site.timeZone;
  return {
    name: "dusk-note",
    due: (ranFor, now) => {
      const night = nightOf(now, zone);
      if (ranFor !== null && ranFor >= night.startUnixMs) return null;
      const dark = darkHours(night, observatory);
      return dark && now >= dark.openUnixMs && now <= dark.closeUnixMs ? dark.openUnixMs : null;
    },
    events: (_state, due) => [{ type: "dusk.noted", date: nightOf(due, zone).date }],
  };
}

/** One summary for all that has happened since the last, however long that is. */
function morningSummary({ config, forecast }: JobParts): Job {
  const zone = config.observatory.site.timeZone;
  const times = unlooked(new CronTimes(config.notices.morningSummaryAt, zone));
  return {
    name: MORNING_JOB,
    // Never run: this is the first start, and there is no night to sum up yet.
    due: (ranFor, now) => (ranFor === null ? now : times(ranFor, now)),
    events: (state, due) =>
      state.jobs.has(MORNING_JOB)
        ? [
            {
              type: "morning.summed",
              date: nightOf(due - 12 * HOUR, zone).date,
              estimates: [...state.waiting].map((number) => nextTurn(number, forecast)),
            },
          ]
        : [],
  };
}

/** Tonight or on a night to come: in the morning nothing is left of the old night. */
function nextTurn(number: number, forecast: JobParts["forecast"]): ToldEstimate {
  const estimate = forecast.estimate(number);
  return { number, startUnixMs: estimate?.startUnixMs ?? estimate?.laterUnixMs ?? null };
}

/** Each noon, people who have asked for nothing for longer than personal data is kept are forgotten. */
function forgetting({ config }: JobParts): Job {
  const noon = unlooked(new CronTimes("5 12 * * *", config.observatory.site.timeZone));
  return {
    name: "forgetting",
    due: (ranFor, now) => (ranFor === null ? now : noon(ranFor, now)),
    events: (state, _due, now) => {
      const busy = new Set([...state.waiting].map((number) => state.requests.get(number)?.owner));
      return [...state.lastActive]
        .filter(([personId, unixMs]) => now - unixMs > config.keepDays * DAY && !busy.has(personId))
        .map(([personId]) => ({ type: "person.forgotten", personId }));
    },
  };
}

/** The latest due time, looking at each minute only once. */
function unlooked(times: CronTimes) {
  let lookedUnixMs = -Infinity;
  return (ranForUnixMs: UtcMillis, nowUnixMs: UtcMillis): UtcMillis | null => {
    const due = times.latest(Math.max(ranForUnixMs, lookedUnixMs), nowUnixMs);
    if (due === null) lookedUnixMs = nowUnixMs;
    return due;
  };
}
