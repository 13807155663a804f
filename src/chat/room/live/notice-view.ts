/** What one reader may see of a notice: those it is for all of it, others its title, staff the frames too. */
import type { Asker } from "../../../commands/command.js";
import type { Services } from "../../../commands/services.js";
import type { Notice } from "../../../journal/notice.js";
import type { SurfaceHost } from "../../surface.js";
import type { ServerMessage, WireFrame, WireNotice } from "../wire.js";
import type { LoggedNotice } from "./notice-log.js";
import { wireAction, wireFrame, wireLine } from "./to-wire.js";

/** Whether a notice may be shown to this person at all. */
export function mayRead(notice: Notice, reader: Asker): boolean {
  return (
    notice.classId === reader.classId && (notice.audience === "class" || notice.people.includes(reader.id))
  );
}

/** The message for each kind of reader, made once for all of them. */
export class NoticeText {
  private readonly made = new Map<WireNotice["to"] | "staff", Buffer>();

  constructor(
    private readonly logged: LoggedNotice,
    private readonly host: SurfaceHost,
  ) {}

  /** The message for this reader; null when it is none of their business. */
  for(reader: Asker): Buffer | null {
    const { notice } = this.logged;
    if (!mayRead(notice, reader)) return null;
    const to = addressee(notice, reader);
    const view = to === "other" && reader.role !== "student" ? "staff" : to;
    const made = this.made.get(view) ?? this.make(view, to);
    this.made.set(view, made);
    return made;
  }

  private make(view: WireNotice["to"] | "staff", to: WireNotice["to"]): Buffer {
    const { notice, seq } = this.logged;
    const full = to !== "other";
    const message: ServerMessage = {
      t: "notice",
      notice: {
        seq,
        kind: notice.kind,
        at: notice.atUnixMs,
        title: notice.title,
        lines: full
          ? notice.lines.map((line) => wireLine(line, (id) => this.host.nameFor(id, notice.classId)))
          : [],
        frames: view !== "other" ? framesOf(notice, this.host.services) : [],
        actions: to === "other" ? [] : notice.actions.map(wireAction),
        to,
        about: notice.about ?? null,
        quiet: notice.quiet,
      },
    };
    return Buffer.from(JSON.stringify(message));
  }
}

function addressee({ people }: Notice, reader: Asker): WireNotice["to"] {
  if (people.includes(reader.id)) return "you";
  return people.length === 0 ? "class" : "other";
}

/** The frames of the request whose preview goes with a notice. */
function framesOf({ attachment }: Notice, { desk }: Services): WireFrame[] {
  if (attachment === null) return [];
  for (const [number, frames] of [...desk.state.frames].reverse()) {
    const request = desk.state.requests.get(number);
    if (request && frames.some((frame) => frame.previewFile === attachment.file)) {
      return frames.map((frame) => wireFrame(request, frame));
    }
  }
  return [];
}
