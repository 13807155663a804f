/** Whichever write around taking, marking, stopping, a hold for people and putting back is refused, or dies: nothing is lost or done twice. */
import { describe, expect, test } from "vitest";
import { silentLog } from "../../src/base/log.js";
import { SECOND } from "../../src/base/units.js";
import type { Asker } from "../../src/commands/command.js";
import { dispatch } from "../../src/commands/dispatch.js";
import type { Services } from "../../src/commands/services.js";
import { loadConfig } from "../../src/config/load.js";
import { openForecast } from "../../src/estimates/open-forecast.js";
import type { NightslateEvent } from "../../src/journal/events.js";
import { MemoryStore } from "../../src/journal/memory/memory-store.js";
import type { State } from "../../src/journal/state.js";
import { deriveNotices } from "../../src/notices/derive.js";
import { pictures } from "../../src/pictures/pictures.js";
import { loadCatalogue } from "../../src/sky/load-catalogue.js";
import { ByHandLink } from "../../src/telescope/by-hand/link.js";
import { TelescopeDriver } from "../../src/telescope/driver.js";
import type { TelescopeLink } from "../../src/telescope/link.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import { venuesOf } from "../../src/wiring/surfaces.js";
import { Life, openOver } from "../notices/mortal-desk.js";
import { plainFrame } from "./evening.js";
import { emptyPlace, JUNE_NIGHT } from "./practice/practice-example.js";
import { ScriptedLink } from "./scripted-link.js";

const config = loadConfig("config/tern-hollow.yaml");
const derive = deriveNotices(config, venuesOf(config));
const catalogue = loadCatalogue();
const quill: Asker = { id: "terminal:quill", name: "quill", classId: "evening-2", role: "instructor" };
const from = { surface: "terminal", channel: "main" };

/** What staff do, one after the other, each as soon as things are so. */
interface Deed {
  readonly line: readonly [command: string, options: Readonly<Record<string, string | number>>];
  readonly when: (state: State) => boolean;
}
const taken =
  (number: number) =>
  ({ taken: now }: State): boolean =>
    now?.number === number;
const nothingTaken = (state: State): boolean => state.taken === null && state.stopping === null;
const stopped =
  (number: number) =>
  (state: State): boolean =>
    nothingTaken(state) && state.requests.get(number)?.state !== "taken";

const PEOPLE: readonly Deed[] = [
  { line: ["hold", { reason: "people in the dome" }], when: taken(1) },
  { line: ["resume", {}], when: stopped(1) },
];
const BY_HAND: readonly Deed[] = [
  { line: ["mark", { request: 1, what: "taken" }], when: nothingTaken },
  ...PEOPLE,
  { line: ["mark", { request: 1, what: "taken" }], when: nothingTaken },
  { line: ["mark", { request: 1, what: "done" }], when: taken(1) },
  { line: ["mark", { request: 2, what: "taken" }], when: nothingTaken },
  { line: ["mark", { request: 2, what: "failed", reason: "cloud" }], when: taken(2) },
  { line: ["return", { request: "2", reason: "it has cleared" }], when: nothingTaken },
  { line: ["mark", { request: 2, what: "taken" }], when: nothingTaken },
  { line: ["mark", { request: 2, what: "stopped", reason: "wind" }], when: taken(2) },
];
const BY_ITSELF: readonly Deed[] = [
  ...PEOPLE,
  { line: ["cancel", { when: "now", reason: "wind" }], when: taken(2) },
  { line: ["hold", { reason: "the evening ends" }], when: stopped(2) },
];

interface Told {
  /** Events about requests and holds, in order. */
  readonly happened: readonly string[];
  /** Notices, in order: kind, title, people. */
  readonly notices: readonly string[];
  /** What the camera did: "1.2" for the second frame of #1; a star where the journal had that frame already. */
  readonly exposed: readonly string[];
  /** Requests whose machines were told to stop. */
  readonly halted: ReadonlySet<number>;
  readonly steps: number;
}

/** The first life ends at a step of its store (or its write is refused there), the second one lasts. */
async function evening(
  open: () => TelescopeLink,
  deeds: readonly Deed[],
  fatal: { readonly step: number; readonly refuses: boolean } | null,
): Promise<Told> {
  const disk = new MemoryStore();
  const clock = new ManualClock(JUNE_NIGHT);
  const seed = await openOver(disk, new Life(), clock, derive);
  await seed.act(() => [joined("mira", "student"), joined("quill", "instructor"), asked(1), asked(2)], {
    by: "terminal:mira",
  });
  const exposed: string[] = [];
  const halted = new Set<number>();
  let done = 0;
  /** Pressed, and not answered yet: the surface delivers it again to the next life. */
  let pressed = false;
  let steps = 0;
  for (const life of [new Life(fatal && !fatal.refuses ? fatal.step : Infinity), new Life()]) {
    const desk = await openOver(disk, life, clock, derive);
    if (fatal?.refuses && steps === 0) life.refuseAt(fatal.step);
    const link = watched(open(), life, { exposed, halted });
    const forecast = openForecast({ desk, config, clock });
    const driver = new TelescopeDriver({ desk, clock, config, forecast, log: silentLog, link });
    const services: Services = {
      ...{ desk, clock, config, catalogue, forecast, pictures, venues: venuesOf(config) },
      telescope: () => driver.status(),
    };
    const press = async ([command, options]: Deed["line"]): Promise<void> => {
      pressed = true;
      const onceKey = `deed ${done}`;
      const reply = await dispatch({ command, options, asker: quill, from, onceKey }, services);
      // Whoever reads that nothing was stored presses again.
      if (reply.tone !== "refused") done += 1;
      pressed = false;
    };
    void driver.start();
    const unanswered = pressed ? deeds[done] : undefined;
    if (unanswered) void press(unanswered.line);
    for (let tick = 0; tick < 60 && !life.over; tick++) {
      const deed = deeds[done];
      if (deed?.when(desk.state) && !pressed) void press(deed.line);
      await clock.moveTo(clock.now() + 10 * SECOND);
    }
    steps = Math.max(steps, life.steps);
    if (life.over) await link.close();
    else await driver.stop();
    if (!life.over && done === deeds.length) break;
  }
  expect(done).toBe(deeds.length);
  return { ...(await toldIn(disk, clock)), exposed, halted, steps };
}

function joined(id: string, role: Asker["role"]): NightslateEvent {
  const person = { id: `terminal:${id}`, name: id, classId: "evening-2", role, group: null, home: from };
  return { type: "person.joined", person };
}

function asked(number: number): NightslateEvent {
  const wish = { target: emptyPlace, filter: "V", exposureSeconds: 30, frames: 2 };
  return {
    ...{ type: "request.made", number, wish: { ...wish, notBeforeUnixMs: null, note: null } },
    ...{ owner: "terminal:mira", classId: "evening-2", group: null, tier: 1, via: from },
  };
}

/** Notes what is exposed, whether it was in the journal already, and what is stopped. */
function watched(
  link: TelescopeLink,
  life: Life,
  { exposed, halted }: { readonly exposed: string[]; readonly halted: Set<number> },
): TelescopeLink {
  const [begin, stopLeftOver] = [link.begin.bind(link), link.stopLeftOver.bind(link)];
  link.stopLeftOver = (stopping) => {
    halted.add(stopping.number);
    return stopLeftOver(stopping);
  };
  link.begin = (action, progress) => {
    const { number } = action.request;
    const exposing = progress.exposing.bind(progress);
    progress.exposing = (frame, startUnixMs) => {
      if (!life.over) exposed.push(`${number}.${frame}${frame <= action.framesDone ? "*" : ""}`);
      exposing(frame, startUnixMs);
    };
    const work = begin(action, progress);
    return {
      stop: (reason) => {
        if (!life.over) halted.add(number);
        return work.stop(reason);
      },
    };
  };
  return link;
}

async function toldIn(disk: MemoryStore, clock: ManualClock): Promise<Pick<Told, "happened" | "notices">> {
  const desk = await openOver(disk, new Life(), clock, derive);
  const happened: string[] = [];
  const notices: string[] = [];
  for await (const entry of desk.entries()) {
    for (const event of entry.events)
      if (/^(request|requests|hold|frame|telescope)\./.test(event.type))
        happened.push("number" in event ? `${event.type} ${event.number}` : event.type);
    // How long a hold lasted differs by the time that the second life needs.
    for (const { kind, title, people } of entry.notices)
      notices.push(`${kind}: ${title.replace(/ after .*/, "")} (${people})`);
  }
  return { happened, notices };
}

describe.each([
  ["worked by hand", () => new ByHandLink(), BY_HAND],
  ["that takes by itself", () => new ScriptedLink(plainFrame), BY_ITSELF],
] as const)("an evening at a telescope %s", (_, open, deeds) => {
  test.each(["dies before or after it", "is refused"])(
    "comes out the same when any one write %s",
    async (how) => {
      const whole = await evening(open, deeds, null);
      expect(whole.steps).toBeGreaterThan(2 * deeds.length);
      for (let step = 1; step <= whole.steps; step++) {
        const refuses = how === "is refused";
        if (refuses && step % 2 === 0) continue;
        const told = await evening(open, deeds, { step, refuses });
        expect(told.happened, `at step ${step}`).toEqual(whole.happened);
        expect(told.notices, `at step ${step}`).toEqual(whole.notices);
        expect(told.halted, `at step ${step}`).toEqual(whole.halted);
        expect(told.exposed.filter((each) => each.endsWith("*"))).toEqual([]);
      }
    },
  );
});
