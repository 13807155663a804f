/** Brings a phone that was away up to the present: every notice it missed, once, in order. */
import type { Asker } from "../../../commands/command.js";
import type { SurfaceHost } from "../../surface.js";
import type { Phone } from "../serve/phone.js";
import { isAfter, type Sequence } from "../wire.js";
import type { LoggedNotice, NoticeLog } from "./notice-log.js";
import { mayRead, NoticeText } from "./notice-view.js";

export class CatchUp {
  constructor(
    private readonly log: NoticeLog,
    private readonly host: SurfaceHost,
  ) {}

  /**
   * Sends what came after `after`, and before that up to `back` that were seen already. What happens
   * meanwhile is found in the log too, so the phone is told new notices directly only afterwards.
   * @param after null for someone new
   */
  async bring(phone: Phone, reader: Asker, after: Sequence | null, back: number): Promise<void> {
    // A place beyond the end is one of another journal.
    const from = after === null || isAfter(after, this.log.end) ? this.log.end : after;
    for (const each of this.log.newestUpTo(from, back, (notice) => mayRead(notice, reader))) {
      if (!(await this.send(phone, reader, each))) return;
    }
    let last = from;
    if (!this.log.reaches(last)) {
      for await (const each of this.log.sinceFromJournal(last)) {
        if (!(await this.send(phone, reader, each))) return;
        last = each.seq;
      }
    }
    for (const each of this.log.atHandAfter(last)) {
      const text = new NoticeText(each, this.host).for(reader);
      if (text !== null) phone.sendBytes(text);
    }
    phone.send({ t: "caught-up", seq: this.log.end });
    phone.tellFromNowOn(reader);
  }

  private async send(phone: Phone, reader: Asker, logged: LoggedNotice): Promise<boolean> {
    const text = new NoticeText(logged, this.host).for(reader);
    return text === null ? phone.open : phone.sendSlowly(text);
  }
}
