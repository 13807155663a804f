/** The answer to the last question, shown under the controls. */
import { html, nothing } from "lit-html";

import type { WireReply } from "../../wire.js";
import { byId, draw } from "../draw/dom.js";
import { frameList } from "../draw/frames.js";
import { actionRow, lineView, paragraphs } from "../draw/lines.js";
import { openPicture } from "../draw/sheet.js";
import { heard } from "../heard.js";
import { clockText, now } from "../time/clock-words.js";
import { runCommand, runLine } from "./to-server.js";

const TONE: Record<WireReply["tone"], string> = {
  answer: "",
  done: "Done",
  warning: "Note",
  refused: "Not done",
};

/** Runs a typed line and shows its answer. */
export async function askLine(line: string): Promise<void> {
  waiting(line);
  showReply(await runLine(line));
}

/** Runs a command with options and shows its answer. */
export async function askCommand(command: string, options: Readonly<Record<string, string>>): Promise<void> {
  waiting(`/${command}`);
  showReply(await runCommand(command, options));
}

/** A sentence of the page itself. */
export function say(text: string): void {
  draw("answer", html`<p class="trouble">${text}</p>`);
}

/** The answer in view, the request it speaks of, and whether that was seen to be waiting. */
let shown: { readonly number: number | null; readonly atUnixMs: number; seenWaiting: boolean } | null = null;

/** An answer goes when its request has ended: what it promised is past. */
export function ageAnswer(): void {
  if (shown === null || shown.number === null) return;
  const waits = heard.own.some(({ number }) => number === shown?.number);
  if (waits) shown.seenWaiting = true;
  else if (shown.seenWaiting) closeAnswer();
}

function closeAnswer(): void {
  shown = null;
  draw("answer", nothing);
}

function waiting(what: string): void {
  byId("answer").setAttribute("aria-busy", "true");
  draw("answer", html`<p class="waiting">${what} …</p>`);
}

/** Shows an answer on the desk. */
export function showReply(reply: WireReply): void {
  const box = byId("answer");
  box.removeAttribute("aria-busy");
  draw("answer", nothing);
  shown = { number: requestOf(reply), atUnixMs: now(), seenWaiting: false };
  ageAnswer();
  draw("answer", replyCard(reply, shown.atUnixMs));
  box.scrollIntoView({ block: "nearest" });
}

/** The one waiting request that its buttons act on. */
function requestOf({ actions }: WireReply): number | null {
  const numbers = new Set(
    actions.flatMap(({ options }) => (options.request ? [Number(options.request)] : [])),
  );
  const [only] = numbers;
  return numbers.size === 1 && only !== undefined ? only : null;
}

function replyCard(reply: WireReply, atUnixMs: number): unknown {
  const { title, lines, frames, actions } = reply;
  const tone = TONE[reply.tone];
  const repeatsTone = title.toLowerCase() === tone.toLowerCase();
  const mark = tone === "" || repeatsTone ? nothing : html`<span class="tone">${tone}</span> `;
  return html`<article class="reply ${reply.tone}">
    <div class="reply-head"><h3>${mark}${title}</h3>
      <button type="button" class="close" aria-label="Close this answer" @click=${closeAnswer}>Close</button></div>
    <p class="quiet">As of ${clockText(atUnixMs)}.</p>
    ${paragraphs(lines)}${fields(reply)}${table(reply)}${picture(reply)}${downloads(reply)}
    ${frames.length > 0 ? frameList(frames) : nothing}${actionRow(actions, ({ command, options }) => void askCommand(command, options))}
  </article>`;
}

function fields({ fields }: WireReply): unknown {
  if (fields.length === 0) return nothing;
  return html`<dl>${fields.map(({ name, value }) => html`<dt>${name}</dt><dd>${lineView(value)}</dd>`)}</dl>`;
}

/** Wide tables scroll by themselves; on a phone each row is a small block. */
function table({ table }: WireReply): unknown {
  if (!table) return nothing;
  const own = new Set(table.ownRows);
  const mark = html`<span class="mark">▶ </span>`;
  const rows = table.rows.map((row, index) => {
    const cells = row.map((cell, column) => {
      const kind = cell.join("") === "" ? "empty" : nothing;
      return html`<td data-column=${table.columns[column] ?? ""} class=${kind}>${
        column === 0 && own.has(index) ? mark : nothing
      }${lineView(cell)}</td>`;
    });
    return html`<tr class=${own.has(index) ? "own" : nothing}>${cells}</tr>`;
  });
  const head = table.columns.map((column) => html`<th scope="col">${column}</th>`);
  return html`<div class="table" tabindex="0" role="group" aria-label="Table">
    <table><thead><tr>${head}</tr></thead><tbody>${rows}</tbody></table></div>`;
}

function picture({ title, picture }: WireReply): unknown {
  if (!picture) return nothing;
  const { url, alt } = picture;
  return html`<button type="button" class="picture" aria-label="Enlarge: ${alt}" @click=${() => openPicture(title, url, alt)}
    ><img src=${url} alt=${alt} loading="lazy"><span class="quiet" aria-hidden="true">Press to enlarge</span></button>`;
}

function downloads({ downloads }: WireReply): unknown {
  if (downloads.length === 0) return nothing;
  const links = downloads.map(
    ({ url, fileName }) => html`<a href=${url} download=${fileName} class="act">Download ${fileName}</a>`,
  );
  return html`<div class="acts">${links}</div>`;
}
