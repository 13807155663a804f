/** From each event, who is told what: exactly once, with keys that never change. */
import type { Config } from "../config/config.js";
import type { DeriveNotices } from "../journal/desk.js";
import type { NightslateEvent } from "../journal/events.js";
import type { Notice } from "../journal/notice.js";
import * as byClass from "./from-class.js";
import * as byRequest from "./from-requests.js";
import { onMorning } from "./morning.js";
import type { Occasion } from "./telling.js";

/**
 * The notices that follow from an entry. The same entry always gives the same notices, so that they can be
 * stored with it: nothing is read but the entry, the two states and the configuration.
 */
export function deriveNotices(config: Config): DeriveNotices {
  return (entry, before, after) => {
    const occasion: Occasion = { entry, atUnixMs: entry.atUnixMs, before, after, config };
    return withDistinctKeys(entry.events.flatMap((event) => noticesFrom(occasion, event)));
  };
}

function noticesFrom(occasion: Occasion, event: NightslateEvent): Notice[] {
  switch (event.type) {
    case "request.taken":
      return byRequest.onTaken(occasion, event);
    case "request.completed":
      return byRequest.onCompleted(occasion, event);
    case "request.failed":
      return byRequest.onFailed(occasion, event);
    case "request.returned":
      return byRequest.onReturned(occasion, event);
    case "request.withdrawn":
      return byRequest.onWithdrawn(occasion, event);
    case "request.left":
      return byRequest.onLeft(occasion, event);
    case "request.next":
      return byRequest.onNext(occasion, event);
    case "requests.cancelled":
      return byRequest.onCancelled(occasion, event);
    case "cancel.undone":
      return byRequest.onUndone(occasion, event);
    case "estimates.moved":
      return byRequest.onMoved(occasion, event);
    case "hold.placed":
      return byClass.onHold(occasion, event);
    case "hold.lifted":
      return byClass.onResumed(occasion, event);
    case "announcement.made":
      return byClass.onAnnouncement(occasion, event);
    case "session.opened":
      return byClass.onSessionOpened(occasion, event);
    case "session.closed":
      return byClass.onSessionClosed(occasion, event);
    case "equipment.changed":
      return byClass.onEquipment(occasion, event);
    case "dusk.noted":
      return byClass.onDusk(occasion, event);
    case "morning.summed":
      return onMorning(occasion);
    default:
      return [];
  }
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
