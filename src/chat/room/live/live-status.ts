/** What the telescope is doing, as every phone of a class sees it. */
import type { Degrees } from "../../../base/units.js";
import { label } from "../../../commands/read/read-request.js";
import type { Services } from "../../../commands/services.js";
import type { Config } from "../../../config/config.js";
import { darkWords } from "../../../notices/board.js";
import { hasRoof } from "../../../notices/words/roof.js";
import { slitHalfWidthDegrees } from "../../../observatory/dome.js";
import type { Request } from "../../../queue/request.js";
import type { WireStatus } from "../wire.js";
import { wireLine } from "./to-wire.js";

/** The telescope, the hold and the darkness at this moment. */
export function statusFor(services: Services, classId: string): WireStatus {
  const { state } = services.desk;
  const status = services.telescope();
  const request = status.requestNumber === null ? undefined : state.requests.get(status.requestNumber);
  return {
    activity: status.activity,
    what: request ? whatFor(request, classId) : null,
    ids: request?.classId === classId ? [request.owner, ...request.sharers] : [],
    since: status.sinceUnixMs,
    until: status.untilUnixMs,
    altitude: tenthsOrNull(status.altitudeDegrees),
    azimuth: tenthsOrNull(status.azimuthDegrees),
    slit: slitAt(status.domeAzimuthDegrees, services.config),
    waitingFor: status.waitingFor,
    roof: hasRoof(services.config),
    domeLeft: tenthsOrNull(status.domeDegreesLeft),
    frame: status.frame,
    frames: status.frames,
    exposure: status.exposureSeconds,
    equipment: state.equipment,
    hold: state.hold && { reason: state.hold.reason, until: state.hold.untilUnixMs },
    dark: wireLine(darkWords(services.clock.now(), services.config), String),
  };
}

function whatFor(request: Request, classId: string): string {
  return request.classId === classId ? label(request) : "a request of another class";
}

function slitAt(azimuth: Degrees | null, { observatory }: Config): WireStatus["slit"] {
  if (azimuth === null || observatory.dome === null) return null;
  return { azimuth: tenths(azimuth), halfWidth: tenths(slitHalfWidthDegrees(observatory.dome)) };
}

function tenthsOrNull(value: number | null): number | null {
  return value === null ? null : tenths(value);
}

function tenths(value: number): number {
  return Math.round(value * 10) / 10;
}
