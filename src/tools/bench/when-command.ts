/** `/when` while the forecast of a very long queue is being worked out anew: nobody waits for it. */

import { silentLog } from "../../base/log.js";
import { MINUTE } from "../../base/units.js";
import type { Asker } from "../../commands/command.js";
import { dispatch } from "../../commands/dispatch.js";
import type { Services } from "../../commands/services.js";
import type { Config } from "../../config/config.js";
import { openForecast } from "../../estimates/open-forecast.js";
import { openSpreadPool } from "../../forecast/pool.js";
import type { Desk } from "../../journal/desk.js";
import type { NightslateEvent } from "../../journal/events.js";
import { openMemoryDesk } from "../../journal/open-desk.js";
import { pictures } from "../../pictures/pictures.js";
import type { Request } from "../../queue/request.js";
import { loadCatalogue } from "../../sky/load-catalogue.js";
import { practiceTraits } from "../../telescope/practice/link.js";
import { idleStatus } from "../../telescope/status.js";
import { venuesOf } from "../../wiring/surfaces.js";
import { ManualClock } from "../manual-clock.js";
import { benchNight } from "./bench-night.js";
import { exampleConfig } from "./example.js";
import { atMost, type BenchRow } from "./row.js";

const REQUESTS = 10_000;
const TARGETS = 200;
const CALLS = 600;
const LIMIT_MS = 20;
/** The queue changes this often, so that the forecast is never done with. */
const CALLS_PER_CHANGE = 25;

export async function whenCommand(): Promise<readonly BenchRow[]> {
  const night = benchNight(REQUESTS + CALLS / CALLS_PER_CHANGE, TARGETS);
  const example = exampleConfig();
  const config: Config = { ...example, observatory: night.observatory as Config["observatory"] };
  const clock = new ManualClock(night.nowUnixMs);
  const desk = openMemoryDesk({ clock, derive: () => [] });
  await desk.act(() => night.waiting.slice(0, REQUESTS).map(asked), { by: "bench" });
  const forecast = openForecast({ desk, config, clock, pool: openSpreadPool() });
  const catalogue = loadCatalogue();
  const services: Services = {
    ...{ desk, clock, config, catalogue, forecast, pictures, venues: venuesOf(config), log: silentLog },
    telescope: () => idleStatus(desk.state, clock.now(), config.observatory, { traits: practiceTraits }),
  };
  await forecast.settled();
  try {
    const taken = await timeCalls(services, desk, clock, night.waiting.slice(REQUESTS));
    const sorted = taken.sort((a, b) => a - b);
    const p99 = sorted[Math.floor(0.99 * sorted.length)] as number;
    const name = `/when, 99 in 100, while the forecast of ${REQUESTS} requests is worked out`;
    return [atMost(name, p99, "ms", LIMIT_MS)];
  } finally {
    await forecast.close();
  }
}

async function timeCalls(
  services: Services,
  desk: Desk,
  clock: ManualClock,
  later: readonly Request[],
): Promise<number[]> {
  const taken: number[] = [];
  for (let call = 0; call < CALLS; call++) {
    if (call % CALLS_PER_CHANGE === 0) {
      await desk.act(() => [asked(later[call / CALLS_PER_CHANGE] as Request)], { by: "bench" });
      await clock.moveTo(clock.now() + MINUTE);
      void services.forecast.settled();
    }
    const number = 1 + ((call * 997) % REQUESTS);
    const start = performance.now();
    const reply = await dispatch(
      {
        command: "when",
        options: { request: number },
        asker: ownerOf(number, desk),
        from: { surface: "terminal", channel: "main" },
        onceKey: null,
      },
      services,
    );
    taken.push(performance.now() - start);
    if (reply.tone !== "answer") throw new Error(`no answer: ${reply.title}`);
    // People do not all ask in the same millisecond; meanwhile the forecast gets on.
    await new Promise<void>((done) => setTimeout(done, 5));
  }
  return taken;
}

function ownerOf(number: number, desk: Desk): Asker {
  const { owner, classId } = desk.state.requests.get(number) as Request;
  return { id: owner, name: owner, classId, role: "student" };
}

function asked(request: Request): NightslateEvent {
  const { number, target, filter, exposureSeconds, frames, owner, classId, tier, via } = request;
  const wish = { target, filter, exposureSeconds, frames, notBeforeUnixMs: null, note: null };
  return { type: "request.made", number, wish, owner, classId, group: null, tier, via };
}
