/** A process of its own that tells a class four things, and dies at the instant it is told to. */
import { readFileSync } from "node:fs";
import { systemClock } from "../../../src/base/clock.js";
import { openLog } from "../../../src/base/log.js";
import { openDesk } from "../../../src/journal/open-desk.js";
import { type Audience, deriveFor, tellClass, watched } from "./telling.js";

export interface ChildTask extends Audience {
  /** The step at which to die; null to live on. */
  readonly dieAt: string | null;
}

/** Told to the parent once nothing is left to do. */
export type ChildWord = "idle";

const task = JSON.parse(readFileSync(process.argv[2] as string, "utf8")) as ChildTask;
const clock = systemClock();
const log = openLog(`${task.folder}/child.log`);
const store = { kind: "sqlite", folder: task.folder } as const;
const desk = await openDesk({ store, clock, derive: deriveFor(task), log });
const die = (step: string): void => {
  if (step === task.dieAt) process.kill(process.pid, "SIGKILL");
};
const word: ChildWord = "idle";
await tellClass(task, {
  desk: watched(desk, clock, die),
  clock,
  log,
  onIdle: () => process.send?.(word),
});
