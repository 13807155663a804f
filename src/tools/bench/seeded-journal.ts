/** Data folders with a history, for measurements of the whole program. */
import { systemClock } from "../../base/clock.js";
import { silentLog } from "../../base/log.js";
import { DAY } from "../../base/units.js";
import type { Desk } from "../../journal/desk.js";
import type { NightslateEvent } from "../../journal/events.js";
import { openDesk } from "../../journal/open-desk.js";
import { loadCatalogue } from "../../sky/load-catalogue.js";
import type { Catalogue } from "../../sky/names/catalogue.js";
import type { FixedTarget, Target } from "../../sky/target.js";
import { ManualClock } from "../manual-clock.js";

const CLASS = "evening-2";
const VIA = { surface: "terminal", channel: "main" };

/** `events` entries of a class's life: asked, taken, one frame, completed; nothing left waiting. */
export async function writeHistory(folder: string, events: number): Promise<void> {
  const targets = fixedTargets(loadCatalogue(), 200);
  await write(folder, events, (index) => historyEvent(index, targets));
}

/** So many requests of so many frames, all waiting, for 200 targets. */
export async function writeWaiting(folder: string, requests: number, frames = 1): Promise<void> {
  const targets = fixedTargets(loadCatalogue(), 200);
  await write(folder, requests, (index) =>
    asked(index + 1, targets[index % targets.length] as Target, frames),
  );
}

async function write(
  folder: string,
  count: number,
  event: (index: number) => NightslateEvent,
): Promise<void> {
  const clock = new ManualClock(systemClock().now() - DAY);
  const desk: Desk = await openDesk({
    store: { kind: "sqlite", folder },
    clock,
    derive: () => [],
    log: silentLog,
  });
  for (let index = 0; index < count; index++) await desk.act(() => [event(index)], { by: "bench" });
  await desk.close();
}

function historyEvent(index: number, targets: readonly FixedTarget[]): NightslateEvent {
  const number = Math.floor(index / 4) + 1;
  const target = targets[number % targets.length] as FixedTarget;
  switch (index % 4) {
    case 0:
      return asked(number, target);
    case 1:
      return {
        type: "request.taken",
        number,
        freeUnixMs: 0,
        altitudeDegrees: 60,
        airmass: 1.15,
        pointingAfter: null,
      };
    case 2:
      return {
        type: "frame.done",
        number,
        frame: {
          index: 1,
          startUnixMs: 0,
          exposureSeconds: 60,
          filter: "V",
          imageFile: `${number}-1.fits`,
          previewFile: `${number}-1.png`,
          verdict: null,
          simulated: true,
        },
      };
    default:
      return { type: "request.completed", number };
  }
}

function asked(number: number, target: Target, frames = 1): NightslateEvent {
  return {
    type: "request.made",
    number,
    wish: { target, filter: "V", exposureSeconds: 60, frames, notBeforeUnixMs: null, note: null },
    owner: `terminal:student-${number % 24}`,
    classId: CLASS,
    group: null,
    tier: 1,
    via: VIA,
  };
}

function fixedTargets(catalogue: Catalogue, count: number): FixedTarget[] {
  return catalogue.targets.filter((target) => target.kind === "fixed").slice(0, count);
}
