/**
 * When a class may ask. A class whose instructor has never used /session asks at any time. Once a session has
 * been opened or closed for it, students ask only while one is open; staff always may. What waits goes on waiting.
 */
import { Refusal } from "../../base/refusal.js";
import type { UtcMillis } from "../../base/units.js";
import type { NightslateEvent } from "../../journal/events.js";
import type { State } from "../../journal/state.js";
import type { Asker } from "../command.js";

/** Where the journal keeps which classes ask in sessions only. */
const KEEPER = "commands";
const keyFor = (classId: string): string => `sessions:${classId}`;

/** Whether the class asks in sessions only. */
export function asksInSessions(state: State, classId: string): boolean {
  return state.sessions.has(classId) || state.remembered.get(KEEPER)?.get(keyFor(classId)) === "only";
}

/** The event that makes a class ask in sessions only, or (`false`) at any time again. */
export function sessionsOnly(classId: string, only: boolean): NightslateEvent {
  return { type: "surface.remembered", surface: KEEPER, key: keyFor(classId), value: only ? "only" : null };
}

/** Whether students of the class may ask now. */
export function mayAsk(state: State, classId: string, now: UtcMillis): boolean {
  const session = state.sessions.get(classId);
  if (session) return session.untilUnixMs === null || session.untilUnixMs > now;
  return !asksInSessions(state, classId);
}

/** @throws {Refusal} code "session-closed" */
export function refuseOutsideSession(state: State, asker: Asker, now: UtcMillis): void {
  if (asker.role !== "student" || mayAsk(state, asker.classId, now)) return;
  throw new Refusal(
    "session-closed",
    "Your class session is closed, so nothing new can be asked for: wait until your instructor opens one. What you asked for before still counts; /mine shows it.",
  );
}
