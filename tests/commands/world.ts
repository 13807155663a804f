/** A class at Tern Hollow for command tests: the real desk in memory, the real sky and forecast, a clock moved by hand. */

import { readFileSync } from "node:fs";
import { DateTime } from "luxon";
import type { Invocation } from "../../src/base/button.js";
import { type Phrase, renderPhrase } from "../../src/base/phrase.js";
import { Refusal } from "../../src/base/refusal.js";
import type { Asker, RawOptions } from "../../src/commands/command.js";
import { dispatch, refusedReply } from "../../src/commands/dispatch.js";
import { toLine } from "../../src/commands/read/parse-text.js";
import { understand } from "../../src/commands/read/understand.js";
import type { Reply } from "../../src/commands/reply.js";
import type { Services } from "../../src/commands/services.js";
import { commandTable } from "../../src/commands/table.js";
import type { Config } from "../../src/config/config.js";
import { loadConfig, parseConfig } from "../../src/config/load.js";
import { furtherTargets } from "../../src/config/targets-section.js";
import { openForecast } from "../../src/estimates/open-forecast.js";
import type { Decide } from "../../src/journal/desk.js";
import { openMemoryDesk } from "../../src/journal/open-desk.js";
import type { TelescopeStatus } from "../../src/journal/telescope-status.js";
import { deriveNotices } from "../../src/notices/derive.js";
import { loadCatalogue } from "../../src/sky/load-catalogue.js";
import { practiceTraits } from "../../src/telescope/practice/link.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import { venuesOf } from "../../src/wiring/surfaces.js";

export const ZONE = "America/Chicago";
/** With what the example site adds. */
const catalogue = loadCatalogue(furtherTargets(loadConfig("config/tern-hollow.yaml").targets));
const EXAMPLE = readFileSync(new URL("../../config/tern-hollow.yaml", import.meta.url), "utf8");
/** A second class on the same telescope, none of whose names may be seen by the first. */
const SECOND_CLASS = `
  - id: morning-1
    name: Morning Star Group
    tier: class
    instructors: [{ id: vance, name: Dr. Vance }]
    students: [{ id: zelda, name: Zelda Quist, group: Cedar }]
`;

/** An instant by the clock on the observatory's wall. */
export function local(text: string): number {
  return DateTime.fromISO(text, { zone: ZONE }).toMillis();
}

export const mira: Asker = { id: "terminal:mira", name: "Mira", classId: "evening-2", role: "student" };
export const tomas: Asker = { id: "terminal:tomas", name: "Tomas", classId: "evening-2", role: "student" };
export const noor: Asker = { id: "terminal:noor", name: "Noor", classId: "evening-2", role: "student" };
export const quill: Asker = {
  id: "terminal:quill",
  name: "Prof. Quill",
  classId: "evening-2",
  role: "instructor",
};
export const okoro: Asker = {
  id: "terminal:okoro",
  name: "Tam Okoro",
  classId: "evening-2",
  role: "operator",
};
export const zelda: Asker = {
  id: "terminal:zelda",
  name: "Zelda Quist",
  classId: "morning-1",
  role: "student",
};
export const vance: Asker = {
  id: "terminal:vance",
  name: "Dr. Vance",
  classId: "morning-1",
  role: "instructor",
};

export interface World {
  readonly services: Services;
  readonly clock: ManualClock;
  readonly faults: unknown[];
  /** Types a line as someone, as the terminal and the room do. */
  type(line: string, asker?: Asker, onceKey?: string): Promise<Reply>;
  /** Uses a command with form values, as Discord does. */
  /** Presses a button. */
  press(action: Invocation, asker?: Asker): Promise<Reply>;
  use(command: string, options: RawOptions, asker?: Asker, onceKey?: string): Promise<Reply>;
  /** Something that did not come from a command. */
  happen(decide: Decide, by?: string): Promise<void>;
  status: TelescopeStatus;
}

/**
 * Opens the world at an instant (default: a clear November evening, fully dark).
 * @param tells whether notices follow from what happens
 */
export function openWorld(
  at = "2026-11-25T20:00",
  change: (config: Config) => Config = (each) => each,
  tells = false,
): World {
  const clock = new ManualClock(local(at));
  const config = change(parseConfig(EXAMPLE.replace("\nqueue:", `${SECOND_CLASS}\nqueue:`), "example"));
  const derive = tells ? deriveNotices(config, venuesOf(config)) : () => [];
  const desk = openMemoryDesk({ clock, derive });
  const faults: unknown[] = [];
  const picture = async () => ({ png: new Uint8Array([1]), altText: "a chart", fileName: "chart.png" });
  const world: World = {
    clock,
    faults,
    services: {
      desk,
      clock,
      config,
      catalogue,
      forecast: openForecast({ desk, config, clock }),
      pictures: { queue: picture, target: picture, tonight: picture, compare: picture },
      venues: venuesOf(config),
      telescope: () => world.status,
      log: {
        info: () => {},
        warn: (details) => faults.push(details),
        error: (details) => faults.push(details),
      },
    },
    async type(line, asker = mira, onceKey) {
      try {
        return await world.use(...spread(understand(line, commandTable, world.services)), asker, onceKey);
      } catch (error) {
        if (error instanceof Refusal) return refusedReply(error);
        throw error;
      }
    },
    use: (command, options, asker = mira, onceKey) =>
      dispatch(
        {
          ...{ command, options, asker, from: { surface: "terminal", channel: "main" } },
          ...{ onceKey: onceKey ?? null, giveFile: (name) => ({ name, fetch: async () => name }) },
        },
        world.services,
      ),
    press: ({ command, options }, asker) => world.use(command, options, asker),
    async happen(decide, by = "telescope") {
      await desk.act(decide, { by });
    },
    status: idle(clock.now()),
  };
  return world;
}

function spread(parsed: { command: string; options: RawOptions }): [string, RawOptions] {
  return [parsed.command, parsed.options];
}

export function idle(now: number): TelescopeStatus {
  return {
    activity: "idle",
    requestNumber: null,
    sinceUnixMs: now,
    untilUnixMs: null,
    altitudeDegrees: null,
    azimuthDegrees: null,
    domeAzimuthDegrees: null,
    waitingFor: null,
    domeDegreesLeft: null,
    frame: null,
    frames: null,
    exposureSeconds: null,
    equipment: { telescope: "ready", dome: "open", camera: "fitted", sky: "clear" },
    traits: { ...practiceTraits, inventedClass: true },
  };
}

/** A phrase as plain text: site times, people by id. */
export function text(phrase: Phrase): string {
  return renderPhrase(phrase, {
    text: (plain) => plain,
    time: ({ timeUnixMs, style }) => {
      const at = DateTime.fromMillis(timeUnixMs, { zone: ZONE, locale: "en-GB" });
      if (style === "clock") return at.toFormat("HH:mm");
      return at.toFormat(style === "day" ? "ccc d LLL yyyy" : "ccc d LLL HH:mm");
    },
    person: (personId) => `<${personId}>`,
    strong: (strong) => strong,
  });
}

/** Everything a reader would see of a reply, line by line. */
export function read(reply: Reply): string {
  const rows = reply.table?.rows.map(
    (row, index) => `${reply.table?.ownRows.includes(index) ? "▸ " : "  "}${row.map(text).join(" | ")}`,
  );
  return [
    `[${reply.tone}] ${reply.title}`,
    ...reply.lines.map(text),
    ...(reply.fields ?? []).map((each) => `${each.name}: ${text(each.value)}`),
    ...(reply.table ? [reply.table.columns.join(" | "), ...(rows ?? [])] : []),
    ...(reply.actions ?? []).map((each) => `<${each.label}> ${toLine(each, commandTable)}`),
  ].join("\n");
}
