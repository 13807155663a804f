/** Asking the server: commands, plain words, suggestions. */

import type { ServerMessage, WireReply } from "../../wire.js";
import type { Connection } from "../connection.js";
import { sendFile } from "../post.js";

export type Suggestions = Extract<ServerMessage, { t: "suggestions" }>["items"];

let connection: Connection | null = null;
const replies = new Map<string, (reply: WireReply) => void>();
const suggestions = new Map<string, (items: Suggestions) => void>();
const SUGGESTIONS_WITHIN_MS = 4_000;

export function setConnection(made: Connection): void {
  connection = made;
}

/** A typed line. */
export function runLine(line: string): Promise<WireReply> {
  const id = newId();
  connection?.ask({ t: "line", id, line });
  return new Promise((done) => replies.set(id, done));
}

/** A command with the options of a form. */
export function runCommand(command: string, options: Readonly<Record<string, string>>): Promise<WireReply> {
  const id = newId();
  connection?.ask({ t: "run", id, command, options });
  return new Promise((done) => replies.set(id, done));
}

/** The same with files for one of its options, sent first; nothing is run when one of them cannot be taken. */
export async function runWithFiles(
  command: string,
  options: Readonly<Record<string, string>>,
  { option, files, onSending }: FilesToSend,
): Promise<WireReply> {
  const ids: string[] = [];
  for (const file of files) {
    onSending(`Sending ${file.name}, ${ids.length + 1} of ${files.length} …`);
    const { problem, body } = await sendFile(file);
    if (body === null) return notSent(file, problem);
    ids.push(body.id);
  }
  return runCommand(command, ids.length === 0 ? options : { ...options, [option]: ids.join(",") });
}

export interface FilesToSend {
  readonly option: string;
  readonly files: readonly File[];
  /** Told what is being sent. */
  readonly onSending: (text: string) => void;
}

function notSent({ name }: File, problem: string): WireReply {
  const nothing = { fields: [], table: null, picture: null, downloads: [], frames: [], actions: [] };
  return { tone: "refused", title: `${name} was not sent`, lines: [[`${name}: ${problem}`]], ...nothing };
}

/** What fits so far; null when the server does not say soon. */
export function suggest(command: string, option: string, typed: string): Promise<Suggestions | null> {
  const id = newId();
  connection?.send({ t: "suggest", id, command, option, typed: typed.slice(0, 200) });
  return new Promise((done) => {
    suggestions.set(id, done);
    setTimeout(() => {
      suggestions.delete(id);
      done(null);
    }, SUGGESTIONS_WITHIN_MS);
  });
}

export function askPass(role: "instructor" | "operator"): void {
  connection?.send({ t: "pass", role });
}

/** Gives an answer to whoever waits for it. */
export function answered(message: ServerMessage): void {
  if (message.t === "reply") {
    replies.get(message.id)?.(message.reply);
    replies.delete(message.id);
  } else if (message.t === "suggestions") {
    suggestions.get(message.id)?.(message.items);
    suggestions.delete(message.id);
  }
}

/** crypto.randomUUID is missing where the page came over plain HTTP. */
function newId(): string {
  return [...crypto.getRandomValues(new Uint8Array(12))]
    .map((byte) => byte.toString(16).padStart(2, "0"))
    .join("");
}
