/** From each event, who is told what: exactly once, with keys that never change. */
import type { Config } from "../config/config.js";
import type { DeriveNotices } from "../journal/desk.js";
import type { NightslateEvent } from "../journal/events.js";
import type { Notice } from "../journal/notice.js";
import { forOperators, onStopping } from "./for-operators.js";
import { byClass } from "./from-class.js";
import { byRequest } from "./from-requests.js";
import { onMorning } from "./morning.js";
import type { Handlers, Occasion } from "./telling.js";
import type { Venues } from "./venues.js";
import { atSite, hasRoof, phraseAtSite } from "./words/roof.js";

/**
 * The notices that follow from an entry. The same entry always gives the same notices, so that they can be
 * stored with it: nothing is read but the entry, the two states and the configuration, to which the venues belong.
 */
export function deriveNotices(config: Config, venues: Venues): DeriveNotices {
  return (entry, before, after) => {
    const occasion: Occasion = { entry, atUnixMs: entry.atUnixMs, before, after, config, venues };
    const notices = entry.events.flatMap((event) => noticesFrom(occasion, event));
    return withDistinctKeys([...onStopping(occasion), ...notices]).map((notice) => atTheSite(notice, config));
  };
}

/** In the words of the site. */
function atTheSite(notice: Notice, config: Config): Notice {
  if (!hasRoof(config)) return notice;
  const lines = notice.lines.map((line) => phraseAtSite(line, config));
  return { ...notice, title: atSite(notice.title, config), lines };
}

/** Event types that somebody is told of; all others concern nobody, or only whoever caused them. */
const HANDLERS: Handlers = { ...byRequest, ...byClass, ...forOperators, "morning.summed": onMorning };

type Derive = (occasion: Occasion, event: NightslateEvent) => readonly Notice[];

function noticesFrom(occasion: Occasion, event: NightslateEvent): readonly Notice[] {
  const derive = HANDLERS[event.type] as Derive | undefined;
  const notices = derive?.(occasion, event) ?? [];
  const about = requestOf(event);
  return about === null ? notices : notices.map((notice) => ({ ...notice, about }));
}

/** The one request that an event is about; null where that is several or none. */
function requestOf(event: NightslateEvent): number | null {
  if ("number" in event) return event.number;
  return "numbers" in event && event.numbers.length === 1 ? (event.numbers[0] ?? null) : null;
}

/** Two notices of one kind to one audience in one entry are told apart by their order. */
function withDistinctKeys(notices: readonly Notice[]): Notice[] {
  const seen = new Map<string, number>();
  return notices.map((notice) => {
    const earlier = seen.get(notice.key) ?? 0;
    seen.set(notice.key, earlier + 1);
    return earlier === 0 ? notice : { ...notice, key: `${notice.key}:${earlier + 1}` };
  });
}
