/** Puts the parts together in order, and takes them down again in the opposite order. */
import { type Clock, ScaledClock, systemClock } from "../base/clock.js";
import type { Log } from "../base/log.js";
import { Refusal } from "../base/refusal.js";
import { MINUTE, type Millis, type UtcMillis } from "../base/units.js";
import type { Surface, SurfaceHost } from "../chat/surface.js";
import type { Services } from "../commands/services.js";
import type { Config } from "../config/config.js";
import { furtherTargets } from "../config/targets-section.js";
import { Learning } from "../estimates/learning.js";
import { MoveExplainer } from "../estimates/move-explainer.js";
import { openForecast } from "../estimates/open-forecast.js";
import { openSpreadPool } from "../forecast/pool.js";
import type { Desk } from "../journal/desk.js";
import { openDesk } from "../journal/open-desk.js";
import { storeAt } from "../journal/open-store.js";
import { deriveNotices } from "../notices/derive.js";
import { startOutbox } from "../notices/outbox.js";
import { type ExplainMoves, watchEstimates } from "../notices/watch-estimates.js";
import { moveClause } from "../notices/words/move-causes.js";
import { pictures } from "../pictures/pictures.js";
import { runSchedule } from "../schedule/run-schedule.js";
import { loadCatalogue } from "../sky/load-catalogue.js";
import { TelescopeDriver } from "../telescope/driver.js";
import type { Telescope, TelescopeLink } from "../telescope/link.js";
import { hostFor } from "./host.js";
import { venuesOf } from "./surfaces.js";

export interface Running<C extends Clock = ScaledClock> {
  readonly host: SurfaceHost;
  readonly services: Services;
  readonly clock: C;
  /** Resolves when the surfaces beyond a network have started too; rejects when one of them never can. */
  readonly connected: Promise<void>;
  /** Orderly end: surfaces first, the journal last. */
  stop(): Promise<void>;
}

interface Adapters<C extends Clock> {
  readonly config: Config;
  /** Where the journal and the frames are. */
  readonly folder: string;
  readonly log: Log;
  readonly surfaces: (services: Services) => readonly Surface[];
  readonly link: (services: Services, clock: C) => TelescopeLink;
}

export interface StartOptions extends Omit<Adapters<ScaledClock>, "link"> {
  readonly telescope: Telescope;
  /** Says something to whoever runs the program, beside the notices, which need the journal. */
  readonly tellOperator?: (text: string) => void;
  /** Called once when another process has taken over: this one stores nothing any more and should end. */
  readonly deposed?: (sentence: string) => void;
  /** Waits while another process runs on the same journal; called once, with who that is. */
  readonly standby?: (who: string) => void;
  /** Where the clock starts; default: where the telescope wants it. */
  readonly startUnixMs?: UtcMillis;
}

/** A machine's clock may have been set back by so much since the last entry. */
const CLOCK_SET_BACK: Millis = MINUTE;

/**
 * Opens the journal and starts everything on the clock that the telescope needs.
 * @throws {Refusal} when another process has the journal, it cannot be read, or it is ahead of a real telescope's clock
 */
export async function start(options: StartOptions): Promise<Running<ScaledClock>> {
  const { config, folder, log, telescope } = options;
  // Early enough for whatever the journal says; moved on before anything runs on it.
  const clock = new ScaledClock(0, telescope.speed);
  const trouble = (clause: string | null): void => options.tellOperator?.(journalTrouble(clause));
  const desk = await openDesk({
    store: storeAt(config.store ?? folder, config.observatory.site.name),
    clock,
    derive: deriveNotices(config, venuesOf(config)),
    log,
    trouble,
    ...(options.deposed && { deposed: options.deposed }),
    ...(options.standby && { standby: options.standby }),
  });
  const realUnixMs = systemClock().now();
  const { lastEntryUnixMs } = desk.state;
  const wanted = options.startUnixMs ?? telescope.startUnixMs?.(realUnixMs, lastEntryUnixMs);
  if (wanted === undefined && lastEntryUnixMs > realUnixMs + CLOCK_SET_BACK) {
    await desk.close();
    throw ahead(lastEntryUnixMs);
  }
  clock.jumpTo(wanted ?? systemClock().now());
  return assemble({ ...options, clock, desk, link: () => telescope.link(clock) });
}

function ahead(lastEntryUnixMs: UtcMillis): Refusal {
  const last = new Date(lastEntryUnixMs).toISOString().slice(0, 16).replace("T", " ");
  return new Refusal(
    "journal-ahead",
    `The journal's last entry is of ${last} UTC, later than now, as the practice telescope's clock runs: give the real telescope a journal of its own with --data, dataFolder or store, or set this machine's clock if that is behind.`,
  );
}

/** For the operator: requests are refused until this is mended, and it needs no restart. */
function journalTrouble(clause: string | null): string {
  if (clause === null) return "The journal is written again: all goes on.";
  return `The journal cannot be written, so nothing new is accepted: ${clause}. All goes on by itself once that is done.`;
}

/** Starts everything over a desk that is open, on any clock. */
export async function assemble<C extends Clock>(
  parts: Adapters<C> & { readonly clock: C; readonly desk: Desk },
): Promise<Running<C>> {
  const { config, folder, log, clock, desk } = parts;
  const catalogue = loadCatalogue(furtherTargets(config.targets));
  const learning = new Learning(config);
  const forecast = openForecast({ desk, config, clock, log, learning, pool: openSpreadPool() });
  let driver: TelescopeDriver | null = null;
  const services: Services = {
    desk,
    clock,
    config,
    catalogue,
    forecast,
    pictures,
    venues: venuesOf(config),
    log,
    telescope: () => (driver as TelescopeDriver).status(),
    handOver: async (work) => (driver as TelescopeDriver).handOver(work),
  };
  driver = new TelescopeDriver({ desk, clock, config, forecast, log, link: parts.link(services, clock) });
  const host = hostFor(services, log, folder);
  const surfaces = parts.surfaces(services);
  // Before anyone can ask what it is doing.
  await driver.start();
  const connected = begin(
    surfaces.filter((each) => each.remote === true),
    host,
  );
  // Whoever wants to know looks later.
  connected.catch(() => {});
  for (const surface of surfaces) if (surface.remote !== true) await surface.start(host);
  const outbox = startOutbox({ desk, surfaces, clock, log });
  const explainer = new MoveExplainer({ desk, learning, config, clock });
  const explainMoves: ExplainMoves = async (moves) =>
    (await explainer.explain(moves)).map((causes) => causes && moveClause(causes, config.tiers));
  const watch = watchEstimates({ desk, forecast, clock, config, log, explainMoves });
  const schedule = runSchedule({ desk, clock, config, forecast, log });

  const stop = async (): Promise<void> => {
    await driver.stop();
    await schedule.stop();
    await watch.stop();
    explainer.stop();
    await outbox.stop();
    for (const surface of [...surfaces].reverse()) await surface.stop();
    await forecast.close();
    await desk.close();
  };
  return { host, services, clock, connected, stop };
}

/** Starts surfaces all at once. */
async function begin(surfaces: readonly Surface[], host: SurfaceHost): Promise<void> {
  await Promise.all(surfaces.map((surface) => surface.start(host)));
}
