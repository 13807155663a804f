/** The central run: the night played forward without noise; and its first step, for the telescope. */
import { NONE } from "../queue/queue-table.js";
import type { Request } from "../queue/request.js";
import { targetNights } from "../queue/target-night.js";
import { Machines } from "./machines.js";
import { NightEngine } from "./night-engine.js";
import type { NightInput, NightRun, Step, Turn, Work } from "./night-run.js";
import { openFrom, startOf } from "./night-start.js";
import { withoutTurn } from "./without-turn.js";

/** Plays the rest of the night: every waiting request gets a turn or a reason why not. */
export function playNight(input: NightInput): NightRun {
  const whole = nightInSlices(input, Number.POSITIVE_INFINITY).next();
  return whole.value as NightRun;
}

/** The same with a pause after every so many turns, so that a long queue keeps nobody waiting. */
export function* nightInSlices(input: NightInput, turnsPerSlice: number): Generator<undefined, NightRun> {
  const turns: Turn[] = [];
  let pauseAt = turnsPerSlice;
  const engine = new NightEngine(input);
  for (let unixMs = startOf(input); unixMs < input.untilUnixMs; ) {
    const row = engine.decideAt(unixMs);
    if (row === NONE) unixMs = openFrom(engine.nextChange(), input);
    else {
      const turn = engine.take(row);
      turns.push(turn);
      if (turns.length >= pauseAt) {
        pauseAt += turnsPerSlice;
        yield;
      }
      unixMs = openFrom(turn.freeUnixMs, input);
    }
  }
  return { turns, withoutTurn: withoutTurn(input, engine.table, engine.taken) };
}

/** What the telescope does at `nowUnixMs`: the first step of the same run. */
export function firstStep(input: NightInput): Step {
  const nowUnixMs = Math.ceil(input.nowUnixMs);
  const freeUnixMs = input.current?.freeUnixMs ?? nowUnixMs;
  if (freeUnixMs > nowUnixMs) return { do: "wait", untilUnixMs: freeUnixMs, because: "busy" };
  const holdUntilUnixMs = input.holdUntilUnixMs ?? nowUnixMs;
  if (holdUntilUnixMs > nowUnixMs) return { do: "wait", untilUnixMs: holdUntilUnixMs, because: "hold" };
  if (input.waiting.length === 0)
    return { do: "wait", untilUnixMs: Number.POSITIVE_INFINITY, because: "no-requests" };
  const engine = new NightEngine(input);
  const row = engine.decideAt(nowUnixMs);
  if (row !== NONE) return { do: "take", turn: engine.take(row), request: engine.table.requests[row]! };
  const untilUnixMs = Math.min(engine.nextChange(), input.untilUnixMs);
  return { do: "wait", untilUnixMs, because: "no-window" };
}

/** What a request's action is if it is taken now, by whoever decides that, whether or not it has a turn. */
export function workNow(input: NightInput, request: Request): Work {
  const { nowUnixMs, observatory, overheads, pointing } = input;
  const { track } = targetNights(nowUnixMs, observatory)(request.target);
  return new Machines(observatory, overheads, pointing).act(
    track,
    Math.ceil(nowUnixMs),
    request,
    { by: "only" },
    null,
  );
}
