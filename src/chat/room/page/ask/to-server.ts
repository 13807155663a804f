/** Asking the server: commands, plain words, suggestions. */
import type { ClientMessage, ServerMessage, WireReply } from "../../wire.js";
import { heard } from "../heard.js";
import { sendFile } from "../post.js";

export type Suggestions = Extract<ServerMessage, { t: "suggestions" }>["items"];

type Asking = Extract<ClientMessage, { id: string }>;

interface Line {
  /** Sends it again until the answer comes. */
  ask(message: Asking): void;
  /** @returns whether there was a connection to send it on */
  send(message: ClientMessage): boolean;
}

let connection: Line | null = null;
const replies = new Map<string, (reply: WireReply) => void>();
const suggestions = new Map<string, (items: Suggestions) => void>();
const SUGGESTIONS_WITHIN_MS = 4_000;
/** What acts at this moment is answered within this, or nobody knows whether it was heard. */
const AT_ONCE_MS = 4_000;
const NEVER_LATER = "It is not sent later.";

export function setConnection(made: Line): void {
  connection = made;
}

/** A typed line. */
export function runLine(line: string): Promise<WireReply> {
  return put({ t: "line", id: newId(), line }, /^\s*\/?([a-z]+)/i.exec(line)?.[1]?.toLowerCase());
}

/** A command with the options of a form. */
export function runCommand(command: string, options: Readonly<Record<string, string>>): Promise<WireReply> {
  return put({ t: "run", id: newId(), command, options }, command);
}

/** Kept and sent again until it is answered, unless it acts on what moves at this moment. */
function put(message: Asking, command: string | undefined): Promise<WireReply> {
  const { id } = message;
  const instead = heard.hello?.commands.find(({ name }) => name === command)?.atOnce ?? null;
  if (instead === null) {
    connection?.ask(message);
    return new Promise((done) => replies.set(id, done));
  }
  if (!connection?.send(message))
    return Promise.resolve(unsent("Not sent: you are offline", `${instead} ${NEVER_LATER}`));
  return new Promise((done) => {
    const late = setTimeout(() => {
      replies.delete(id);
      done(unsent("No answer: it may not have been heard", `${instead} ${NEVER_LATER}`));
    }, AT_ONCE_MS);
    replies.set(id, (reply) => {
      clearTimeout(late);
      done(reply);
    });
  });
}

/** What the page itself answers. */
function unsent(title: string, line: string): WireReply {
  const nothing = { fields: [], table: null, picture: null, downloads: [], frames: [], actions: [] };
  return { tone: "refused", title, lines: [[line]], ...nothing };
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
    if (body === null) return unsent(`${file.name} was not sent`, `${file.name}: ${problem}`);
    ids.push(body.id);
  }
  if (ids.length > 0) onSending("Looking at what was sent …");
  return runCommand(command, ids.length === 0 ? options : { ...options, [option]: ids.join(",") });
}

export interface FilesToSend {
  readonly option: string;
  readonly files: readonly File[];
  /** Told what is being sent. */
  readonly onSending: (text: string) => void;
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
