/** Brings a phone that was away up to the present: every notice it missed, once, in order. */
import type { Asker } from "../../../commands/command.js";
import type { SurfaceHost } from "../../surface.js";
import type { Phone } from "../serve/phone.js";
import { isAfter, type Sequence } from "../wire.js";
import type { LoggedNotice, NoticeLog } from "./notice-log.js";
import { mayRead, NoticeText } from "./notice-view.js";

/**
 * Sends what came after `after`, and before that up to `back` that were seen already. What happens
 * meanwhile is found in the log too, so the phone is told new notices directly only afterwards.
 * @param after null for someone new
 */
export async function catchUp(
  phone: Phone,
  reader: Asker,
  after: Sequence | null,
  back: number,
  log: NoticeLog,
  host: SurfaceHost,
): Promise<void> {
  const send = async (logged: LoggedNotice): Promise<boolean> => {
    const text = new NoticeText(logged, host).for(reader);
    return text === null ? phone.open : phone.sendSlowly(text);
  };
  // A place beyond the end is one of another journal.
  const from = after === null || isAfter(after, log.end) ? log.end : after;
  for (const each of log.newestUpTo(from, back, (notice) => mayRead(notice, reader))) {
    if (!(await send(each))) return;
  }
  let last = from;
  if (!log.reaches(last)) {
    for await (const each of log.sinceFromJournal(last)) {
      if (!(await send(each))) return;
      last = each.seq;
    }
  }
  for (const each of log.atHandAfter(last)) {
    const text = new NoticeText(each, host).for(reader);
    if (text !== null) phone.sendBytes(text);
  }
  phone.send({ t: "caught-up", seq: log.end });
  phone.tellFromNowOn(reader);
}
