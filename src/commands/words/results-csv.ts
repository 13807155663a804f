/** The record of a class as CSV: safe to open in a spreadsheet, whatever people typed. */
import { stringify } from "csv-stringify/sync";
import { DateTime } from "luxon";
import type { Config } from "../../config/config.js";
import type { State } from "../../journal/state.js";
import type { Request } from "../../queue/request.js";
import { accountOf, groupOf, nameFor } from "../people/people.js";
import { framesWords } from "./request-story.js";

/**
 * One line for each request, with a heading (RFC 4180, UTF-8 with a byte order mark for spreadsheets).
 * Times are the site's, with their offset. A text that would start a formula is preceded by an apostrophe.
 */
export function resultsCsv(requests: readonly Request[], state: State, config: Config): string {
  const rows = requests.map((each) => rowOf(each, state, config));
  return stringify(rows, { header: true, bom: true, escape_formulas: true, record_delimiter: "windows" });
}

function rowOf(request: Request, state: State, config: Config): Record<string, string | number> {
  const zone = config.observatory.site.timeZone;
  const time = (unixMs: number | null): string =>
    unixMs === null
      ? ""
      : (DateTime.fromMillis(unixMs, { zone }).toISO({ suppressMilliseconds: true }) as string);
  const frames = state.frames.get(request.number) ?? [];
  const name = (id: string): string => nameFor(id, request.classId, state, config);
  return {
    request: request.number,
    person: name(request.owner),
    account: accountOf(request.owner),
    shared_with: request.sharers.map(name).join("; "),
    group: groupOf(request.owner, request.classId, state, config) ?? "",
    target: request.target.id,
    target_name: request.target.name,
    filter: request.filter,
    exposure_seconds: request.exposureSeconds,
    frames_asked: request.frames,
    asked: time(request.askedUnixMs),
    taken: time(request.takenUnixMs),
    ended: time(request.endedUnixMs),
    state: request.state,
    frames_done: request.framesDone,
    frames_usable: frames.filter((each) => each.verdict?.is === "usable").length,
    outcome: framesWords(frames) ?? "",
    files: frames.flatMap((each) => each.imageFile ?? []).join("; "),
    reason: request.reason ?? "",
    note: request.note ?? "",
  };
}
