/** Notices to whole classes: holds, announcements, sessions, equipment, dusk. */
import type { State } from "../journal/state.js";
import type { Request } from "../queue/request.js";
import { nightNamed } from "../sky/night.js";
import { toClasses } from "./audience.js";
import { darkHours } from "./darkness.js";
import type { Handlers, Occasion } from "./telling.js";
import { whoDecided } from "./who-decided.js";
import { equipmentTelling } from "./words/equipment.js";
import {
  announcementTelling,
  holdTelling,
  resumedTelling,
  sessionClosedTelling,
  sessionOpenedTelling,
} from "./words/everyone.js";
import { duskTelling } from "./words/summaries.js";

/** What whole classes are told. */
export const byClass = {
  /** Every class that shares the telescope. */
  "hold.placed": (occasion, event) => {
    const { taken, requests } = occasion.after;
    const under = taken ? (requests.get(taken.number) ?? null) : null;
    const stopped = taken ? null : (occasion.before.taken?.number ?? null);
    return toClasses(occasion, everyClass(occasion), (classId) =>
      holdTelling(event.hold, whoDecided(occasion, event.hold.by, classId), under, stopped),
    );
  },
  /** The hold is over. */
  "hold.lifted": (occasion, event) =>
    toClasses(occasion, everyClass(occasion), (classId) =>
      resumedTelling(occasion.before.hold, whoDecided(occasion, event.by, classId), occasion.atUnixMs),
    ),
  /** A member's words to the class. */
  "announcement.made": (occasion, event) =>
    toClasses(occasion, [event.classId], (classId) =>
      announcementTelling(event.text, whoDecided(occasion, event.by, classId)),
    ),
  /** A class session begins. */
  "session.opened": (occasion, event) =>
    toClasses(occasion, [event.classId], (classId) =>
      sessionOpenedTelling(className(occasion, classId), event.untilUnixMs, occasion.atUnixMs),
    ),
  /** A class session ends. */
  "session.closed": (occasion, event) =>
    toClasses(occasion, [event.classId], (classId) =>
      sessionClosedTelling(className(occasion, classId), waitingOf(occasion.after, classId).length),
    ),
  /** Faults, a camera that goes or comes back, a dome that staff shut or open. */
  "equipment.changed": (occasion, event) => {
    const telling = equipmentTelling(
      occasion.before.equipment,
      event.equipment,
      event.by !== null,
      occasion.config.telescope.link,
    );
    return telling ? toClasses(occasion, everyClass(occasion), () => telling) : [];
  },
  /** Classes with something waiting or a session open; the others are left in peace. */
  "dusk.noted": (occasion, event) => {
    const { after, config } = occasion;
    const { observatory } = config;
    const dark = darkHours(nightNamed(event.date, observatory.site.timeZone), observatory);
    if (!dark) return [];
    const busy = everyClass(occasion).filter(
      (classId) => after.sessions.has(classId) || waitingOf(after, classId).length > 0,
    );
    return toClasses(occasion, busy, (classId) => {
      const waiting = waitingOf(after, classId);
      const { hold, equipment } = after;
      const first = firstOf(after, waiting);
      return duskTelling({
        dark,
        waiting: waiting.length,
        first,
        hold,
        equipment,
        simulated: config.telescope.link === "practice",
      });
    });
  },
} satisfies Handlers;

function everyClass({ config }: Occasion): string[] {
  return config.classes.map((each) => each.id);
}

function className({ config }: Occasion, classId: string): string {
  return config.classes.find((each) => each.id === classId)?.name ?? classId;
}

function waitingOf(state: State, classId: string): Request[] {
  return [...state.waiting].flatMap((number) => {
    const request = state.requests.get(number);
    return request?.classId === classId ? [request] : [];
  });
}

function firstOf(state: State, waiting: readonly Request[]) {
  let first: { request: Request; startUnixMs: number } | null = null;
  for (const request of waiting) {
    const startUnixMs = state.told.get(request.number) ?? null;
    if (startUnixMs !== null && (!first || startUnixMs < first.startUnixMs)) first = { request, startUnixMs };
  }
  return first;
}
