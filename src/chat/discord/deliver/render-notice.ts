/** Notices as messages: who is meant is mentioned, exactly those, split where the platform's limits demand it. */
import { MessageFlags } from "discord.js";
import type { Button } from "../../../base/button.js";
import type { Notice } from "../../../journal/notice.js";
import { buttonRows, fitsButton, RUN_ORDER } from "../hear/buttons.js";
import { userIdOf } from "../hear/place.js";
import { CONTENT, FILES, MENTIONS, within } from "../limits.js";
import { bold, escapeText, phraseText } from "../text.js";
import { nonceFor } from "./nonce.js";
import type { Outgoing, OutgoingFile } from "./outgoing.js";

export interface NoticeOptions {
  /** A person's name as the class may see it. */
  readonly nameOf: (personId: string) => string;
  /** Whether a person wants to be mentioned; others are named. */
  readonly wantsMention: (personId: string) => boolean;
  /** Written to the person directly: no mention needed. */
  readonly direct: boolean;
  /** Pictures by notice key, as far as they can be sent. */
  readonly files: ReadonlyMap<string, OutgoingFile>;
  /** Something to add below everything, such as why it was not sent directly. */
  readonly postscript: string | null;
}

/** One message of a parcel, with the key that its nonce and mark are made from. */
export interface Part {
  readonly nonce: string;
  readonly message: Outgoing;
  /** Those that begin in it. */
  readonly notices: readonly Notice[];
}

/** A stretch of text that is never divided, with the people it mentions. */
interface Atom {
  readonly text: string;
  readonly users: readonly string[];
  /** First atom of its notice: picture and buttons go with it. */
  readonly notice: Notice | null;
  readonly title: string;
}

/** So many people are mentioned in front of the title; more come after the text. */
const IN_FRONT = 3;
/** Mentions kept together in one stretch: short enough to fill messages well. */
const IN_ONE_STRETCH = 20;

/**
 * The messages of one parcel, in order. The same notices always give the same nonces, so that a second
 * trial meets the first.
 */
export function renderNotices(key: string, notices: readonly Notice[], options: NoticeOptions): Part[] {
  const atoms = notices.flatMap((notice) => atomsOf(notice, options));
  if (options.postscript !== null)
    atoms.push({ text: escapeText(options.postscript), users: [], notice: null, title: "" });
  const messages = pack(atoms);
  const quiet = notices.every((notice) => notice.quiet);
  const alone = notices.length === 1;
  return messages.map((packed, index) => {
    const nonce = nonceFor(index === 0 ? key : `${key}#${index + 1}`);
    const here = packed.flatMap((atom) => atom.notice ?? []);
    const actions = here.flatMap((notice) => labelled(notice.actions, alone)).filter(fitsButton);
    const users = [...new Set(packed.flatMap((atom) => atom.users))];
    return {
      nonce,
      notices: here,
      message: {
        content: packed.map((atom) => atom.text).join("\n"),
        embeds: [],
        components: buttonRows(actions.length > 0 ? actions : [RUN_ORDER], nonce),
        allowed_mentions: { parse: [], users },
        flags: quiet ? MessageFlags.SuppressNotifications : 0,
        files: here.flatMap((notice) => options.files.get(notice.key) ?? []),
      },
    };
  });
}

function atomsOf(notice: Notice, options: NoticeOptions): Atom[] {
  const mentioned = new Map<string, string>();
  for (const personId of options.direct ? [] : notice.people) {
    const userId = userIdOf(personId);
    if (userId !== null && options.wantsMention(personId)) mentioned.set(personId, userId);
  }
  const lines = notice.lines.map((line) => {
    const users: string[] = [];
    const text = phraseText(line, (personId) => {
      const userId = mentioned.get(personId);
      if (userId === undefined) return escapeText(options.nameOf(personId));
      users.push(userId);
      return `<@${userId}>`;
    });
    return { text: within(text, CONTENT), users, notice: null, title: notice.title };
  });
  const said = new Set(lines.flatMap((line) => line.users));
  const unsaid = [...mentioned.values()].filter((userId) => !said.has(userId));
  const front = unsaid.length <= IN_FRONT ? unsaid : [];
  const head = [...front.map((userId) => `<@${userId}>`), bold(notice.title)].join(" ");
  return [
    { text: within(head, CONTENT), users: front, notice, title: notice.title },
    ...namesLine(notice, mentioned, options),
    ...lines,
    ...stretches(unsaid.slice(front.length), notice),
  ];
}

/** People who want no mention are named, where the text does not name them anyway. */
function namesLine(notice: Notice, mentioned: ReadonlyMap<string, string>, options: NoticeOptions): Atom[] {
  if (options.direct) return [];
  const inText = new Set(
    notice.lines
      .flat()
      .flatMap((part) => (typeof part === "object" && "personId" in part ? [part.personId] : [])),
  );
  const unnamed = notice.people.filter((id) => !mentioned.has(id) && !inText.has(id));
  if (unnamed.length === 0 || unnamed.length > IN_FRONT) return [];
  const names = unnamed.map((id) => escapeText(options.nameOf(id))).join(" and ");
  const text = mentioned.size > 0 ? `Also for ${names}.` : `For ${names}.`;
  return [{ text, users: [], notice: null, title: notice.title }];
}

function stretches(users: readonly string[], notice: Notice): Atom[] {
  const atoms: Atom[] = [];
  for (let start = 0; start < users.length; start += IN_ONE_STRETCH) {
    const some = users.slice(start, start + IN_ONE_STRETCH);
    const text = some.map((userId) => `<@${userId}>`).join(" ");
    atoms.push({ text, users: some, notice: null, title: notice.title });
  }
  return atoms;
}

/** Fills messages in order; a notice that goes on in the next one says so. */
function pack(atoms: readonly Atom[]): Atom[][] {
  const messages: Atom[][] = [];
  let room = { text: 0, users: 0, files: 0 };
  for (const atom of atoms) {
    const open = messages.at(-1);
    const fits =
      open !== undefined &&
      room.text + atom.text.length + 1 <= CONTENT &&
      room.users + atom.users.length <= MENTIONS &&
      room.files + fileCount(atom) <= FILES;
    if (fits) open.push(atom);
    else {
      const goesOn = open !== undefined && atom.notice === null && atom.title !== "";
      const again: Atom[] = goesOn
        ? [{ text: `${bold(atom.title)} (continued)`, users: [], notice: null, title: atom.title }]
        : [];
      const roomLeft = CONTENT - (again[0] ? again[0].text.length + 1 : 0);
      messages.push([...again, { ...atom, text: within(atom.text, roomLeft) }]);
      room = { text: 0, users: 0, files: 0 };
      if (again[0]) room.text += again[0].text.length + 1;
    }
    room.text += atom.text.length + 1;
    room.users += atom.users.length;
    room.files += fileCount(atom);
  }
  return messages;
}

function fileCount(atom: Atom): number {
  return atom.notice?.attachment ? 1 : 0;
}

/** In a message about several requests a button says which of them it is for. */
function labelled(actions: readonly Button[], alone: boolean): Button[] {
  return actions.map((action) => {
    const number = action.about ?? action.options.request;
    if (alone || number === undefined || action.label.includes(`#${number}`)) return action;
    return { ...action, label: `${action.label} #${number}` };
  });
}
