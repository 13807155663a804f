/** Phrases, replies, frames and commands as the page gets them: data, never markup. */
import type { Button } from "../../../base/button.js";
import type { Phrase } from "../../../base/phrase.js";
import type { CommandSpec } from "../../../commands/command.js";
import type { Reply } from "../../../commands/reply.js";
import type { FrameRecord } from "../../../journal/events.js";
import { seconds } from "../../../notices/words/amounts.js";
import { verdictWords } from "../../../notices/words/verdicts.js";
import type { PersonId, Request } from "../../../queue/request.js";
import type { WireAction, WireCommand, WireFrame, WireLine, WireReply } from "../wire.js";

/** @param nameOf a person's name as the reader's class may see it */
export function wireLine(phrase: Phrase, nameOf: (personId: PersonId) => string): WireLine {
  return phrase.map((part) => {
    if (typeof part === "string") return part;
    if ("timeUnixMs" in part) return { at: part.timeUnixMs, style: part.style };
    if ("personId" in part) return { who: nameOf(part.personId), id: part.personId };
    return "typed" in part ? part.typed : part;
  });
}

/** @param put keeps bytes for the reader to fetch, and gives their address */
export function wireReply(
  reply: Reply,
  nameOf: (personId: PersonId) => string,
  put: (content: string | Uint8Array, mediaType: string, fileName: string) => string,
): WireReply {
  const line = (phrase: Phrase): WireLine => wireLine(phrase, nameOf);
  const { picture, table } = reply;
  return {
    tone: reply.tone,
    title: reply.title,
    lines: reply.lines.map(line),
    fields: (reply.fields ?? []).map(({ name, value }) => ({ name, value: line(value) })),
    table: table
      ? { columns: table.columns, rows: table.rows.map((row) => row.map(line)), ownRows: table.ownRows }
      : null,
    picture: picture ? { url: put(picture.png, "image/png", picture.fileName), alt: picture.altText } : null,
    downloads: (reply.downloads ?? []).map(({ content, mediaType, fileName }) => ({
      url: put(content, mediaType, fileName),
      fileName,
    })),
    frames: (reply.frames ?? []).map(({ request, frame }) => wireFrame(request, frame)),
    actions: (reply.actions ?? []).map(wireAction),
  };
}

/** What a press runs: options as text, as a form sends them. */
export function wireAction({ command, options, label, onlyFor }: Button): WireAction {
  const given = Object.entries(options).filter(([, value]) => value !== undefined);
  const texts = given.map(([name, value]) => [name, String(value)]);
  return { command, options: Object.fromEntries(texts), label, onlyFor };
}

/** One frame of a request. */
export function wireFrame(request: Request, frame: FrameRecord): WireFrame {
  const { verdict } = frame;
  return {
    number: request.number,
    index: frame.index,
    target: request.target.name,
    what: `frame ${frame.index} of ${request.frames}, ${seconds(frame.exposureSeconds)}, filter ${frame.filter}`,
    verdict: verdict ? verdictWords(verdict) : null,
    usable: verdict?.is === "usable",
    simulated: frame.simulated,
    preview: frame.previewFile !== null,
    full: frame.imageFile !== null,
  };
}

/** One command of the table. */
export function wireCommand(spec: CommandSpec): WireCommand {
  return {
    name: spec.name,
    who: spec.who,
    help: spec.help,
    atOnce: spec.atOnce ?? null,
    options: spec.options.map((option) => ({
      name: option.name,
      kind: option.kind,
      required: option.required === true,
      help: option.help,
      named: option.named === true,
      byButton: option.byButton === true,
      maxLength: option.maxLength ?? null,
      choices: option.choices ?? [],
      onlyWith: option.onlyWith ?? null,
    })),
  };
}
