/** One `/request`, from the call to the reply: checks, forecast, and the entry safely on disk. */

import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { silentLog } from "../../base/log.js";
import { HOUR } from "../../base/units.js";
import type { Call } from "../../commands/command.js";
import { dispatch } from "../../commands/dispatch.js";
import type { Services } from "../../commands/services.js";
import type { Config } from "../../config/config.js";
import { membersOf } from "../../config/members.js";
import { openForecast } from "../../estimates/open-forecast.js";
import { openDesk } from "../../journal/open-desk.js";
import { deriveNotices } from "../../notices/derive.js";
import { windowsOf } from "../../observatory/window.js";
import { pictures } from "../../pictures/pictures.js";
import { loadCatalogue } from "../../sky/load-catalogue.js";
import { nightNamed } from "../../sky/night.js";
import { practiceTraits } from "../../telescope/practice/link.js";
import { idleStatus } from "../../telescope/status.js";
import { venuesOf } from "../../wiring/surfaces.js";
import { ManualClock } from "../manual-clock.js";
import { exampleConfig } from "./example.js";
import { atMost, type BenchRow, median } from "./row.js";

/** The class asks this often; the first fifth warms up. */
const CALLS = 300;
const LIMIT_MS = 5;

export async function requestCommand(): Promise<readonly BenchRow[]> {
  const folder = mkdtempSync(join(tmpdir(), "nightslate-bench-"));
  try {
    const taken = await timeRequests(folder);
    return [atMost("/request, on disk before the reply", median(taken.slice(CALLS / 5)), "ms", LIMIT_MS)];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function timeRequests(folder: string): Promise<readonly number[]> {
  const example = exampleConfig();
  const config: Config = { ...example, queue: { ...example.queue, waitingPerPerson: CALLS } };
  const night = nightNamed("2026-11-25", config.observatory.site.timeZone);
  const clock = new ManualClock(night.startUnixMs + 8 * HOUR);
  const desk = await openDesk({
    store: { kind: "sqlite", folder },
    clock,
    derive: deriveNotices(config, venuesOf(config)),
    log: silentLog,
  });
  const services: Services = {
    desk,
    clock,
    config,
    catalogue: loadCatalogue(),
    forecast: openForecast({ desk, config, clock }),
    pictures,
    venues: venuesOf(config),
    log: silentLog,
    telescope: () => idleStatus(desk.state, clock.now(), config.observatory, { traits: practiceTraits }),
  };
  const calls = callsOf(services, CALLS);
  const taken: number[] = [];
  for (const call of calls) {
    const start = performance.now();
    const reply = await dispatch(call, services);
    taken.push(performance.now() - start);
    if (reply.tone === "refused") throw new Error(`refused: ${JSON.stringify(reply.lines)}`);
  }
  await desk.close();
  return taken;
}

/** Students in turn, sixty targets that are up tonight. */
function callsOf({ catalogue, config, clock }: Services, count: number): Call[] {
  const teachingClass = config.classes[0];
  if (!teachingClass) throw new Error("the example has a class");
  const students = membersOf(teachingClass, "terminal").filter((member) => member.role === "student");
  const night = nightNamed("2026-11-25", config.observatory.site.timeZone);
  const up = catalogue.targets
    .filter((target) =>
      windowsOf(target, night, config.observatory).some((window) => window.openUnixMs <= clock.now()),
    )
    .slice(0, 60);
  return Array.from({ length: count }, (_, index) => {
    const asker = students[index % students.length];
    const target = up[index % up.length];
    if (!asker || !target) throw new Error("somebody asks for something");
    const exposure = 10 + index;
    return {
      command: "request",
      options: { target: target.id, filter: "V", exposure, frames: 1, anyway: "yes" },
      asker,
      from: { surface: "terminal", channel: "main" },
      onceKey: `bench:${index}`,
    };
  });
}
