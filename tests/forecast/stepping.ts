/** A telescope that asks for one step at a time, as a link does. */
import type { NightInput, Turn } from "../../src/forecast/night-run.js";
import { planNight } from "../../src/forecast/plan-night.js";
import { firstStep } from "../../src/forecast/play-night.js";

/** Asks until the night is over; each time the state is only what a journal would hold. */
export function stepThrough(night: NightInput): readonly Turn[] {
  const turns: Turn[] = [];
  // The plan is part of the state.
  let now: NightInput = night.rule === "planned" ? { ...night, plan: night.plan ?? planNight(night) } : night;
  while (now.nowUnixMs < night.untilUnixMs) {
    const step = firstStep(now);
    if (step.do === "wait") {
      if (step.untilUnixMs <= now.nowUnixMs) throw new Error("told to wait until the past");
      now = { ...now, nowUnixMs: step.untilUnixMs };
      continue;
    }
    turns.push(step.turn);
    const taken = new Map(now.takenTonight);
    taken.set(step.request.owner, (taken.get(step.request.owner) ?? 0) + 1);
    now = {
      ...now,
      nowUnixMs: step.turn.takenUnixMs,
      current: { request: step.request, freeUnixMs: step.turn.freeUnixMs },
      waiting: now.waiting.filter((request) => request.number !== step.turn.number),
      pointing: step.turn.pointingAfter,
      takenTonight: taken,
    };
  }
  return turns;
}
