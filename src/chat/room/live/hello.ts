/** What a page is told first: who its reader is, where this is, and what can be asked. */

import { tableAtSite } from "../../../commands/at-site.js";
import type { Asker } from "../../../commands/command.js";
import { classOf } from "../../../commands/people/people.js";
import { mayUse } from "../../../commands/people/roles.js";
import { commandTable } from "../../../commands/table.js";
import { memberOf } from "../../../journal/membership.js";
import type { SurfaceHost } from "../../surface.js";
import type { WireEntry, WireHello } from "../wire.js";
import { maskOutline } from "./live-sky.js";
import { wireCommand } from "./to-wire.js";

/**
 * @param book names the journal
 * @param entry how a phone gets in; null for students
 */
export function helloFor(
  person: Asker,
  { services }: SurfaceHost,
  classId: string,
  book: string,
  entry: WireEntry | null,
): WireHello {
  const { config, clock, desk } = services;
  const { simulated, clockName } = services.telescope().traits;
  const { site, limits } = config.observatory;
  const { id, name, role } = person;
  return {
    book,
    clock: { now: clock.now(), speed: clock.speed },
    me: { id, name, role, group: memberOf(desk.state, id, classId)?.group ?? null },
    site: {
      name: site.name,
      className: classOf(config, classId)?.name ?? classId,
      latitudeDegrees: site.latitudeDegrees,
      timeZone: site.timeZone,
      altitudeLimit: limits.altitudeDegrees,
      mask: maskOutline(config),
      simulated,
      clockName,
    },
    commands: tableAtSite(commandTable, config)
      .filter((spec) => mayUse(role, spec))
      .map(wireCommand),
    entry,
  };
}
