/** The answer to the last question, shown under the controls. */
import type { WireReply } from "../wire.js";
import { runCommand, runLine } from "./ask.js";
import { button, byId, el } from "./dom.js";
import { openPicture } from "./enlarge.js";
import { frameList } from "./frames.js";
import { actionRow, lineNodes, paragraphs } from "./lines.js";

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
  byId("answer").replaceChildren(el("p", { class: "trouble" }, text));
}

function waiting(what: string): void {
  const box = byId("answer");
  box.setAttribute("aria-busy", "true");
  box.replaceChildren(el("p", { class: "waiting" }, `${what} …`));
}

/** Shows an answer on the desk. */
export function showReply(reply: WireReply): void {
  const box = byId("answer");
  box.removeAttribute("aria-busy");
  box.replaceChildren(replyCard(reply, () => box.replaceChildren()));
  box.scrollIntoView({ block: "nearest" });
}

function replyCard(reply: WireReply, onClose: () => void): HTMLElement {
  const repeatsTone = reply.title.toLowerCase() === TONE[reply.tone].toLowerCase();
  const tone =
    TONE[reply.tone] === "" || repeatsTone ? null : el("span", { class: "tone" }, TONE[reply.tone]);
  const head = el("h3", {}, ...(tone === null ? [] : [tone, " "]), reply.title);
  const close = button("Close", onClose, { class: "close", "aria-label": "Close this answer" });
  return el(
    "article",
    { class: `reply ${reply.tone}` },
    el("div", { class: "reply-head" }, head, close),
    ...paragraphs(reply.lines),
    fields(reply),
    table(reply),
    picture(reply),
    downloads(reply),
    reply.frames.length > 0 ? frameList(reply.frames) : null,
    actionRow(reply.actions, ({ command, options }) => void askCommand(command, options)),
  );
}

function fields({ fields }: WireReply): HTMLElement | null {
  if (fields.length === 0) return null;
  const pairs = fields.flatMap(({ name, value }) => [el("dt", {}, name), el("dd", {}, ...lineNodes(value))]);
  return el("dl", {}, ...pairs);
}

/** Wide tables scroll by themselves; on a phone each row is a small block. */
function table({ table }: WireReply): HTMLElement | null {
  if (!table) return null;
  const own = new Set(table.ownRows);
  const head = el("tr", {}, ...table.columns.map((column) => el("th", { scope: "col" }, column)));
  const rows = table.rows.map((row, index) =>
    el(
      "tr",
      { class: own.has(index) ? "own" : null },
      ...row.map((cell, column) =>
        el(
          "td",
          { "data-column": table.columns[column] ?? "", class: cell.join("") === "" ? "empty" : null },
          column === 0 && own.has(index) ? el("span", { class: "mark" }, "▶ ") : null,
          ...lineNodes(cell),
        ),
      ),
    ),
  );
  const whole = el("table", {}, el("thead", {}, head), el("tbody", {}, ...rows));
  return el("div", { class: "table", tabindex: 0, role: "group", "aria-label": "Table" }, whole);
}

function picture(reply: WireReply): HTMLElement | null {
  const { picture } = reply;
  if (!picture) return null;
  const image = el("img", { src: picture.url, alt: picture.alt, loading: "lazy" });
  const open = el(
    "button",
    { type: "button", class: "picture", "aria-label": `Enlarge: ${picture.alt}` },
    image,
    el("span", { class: "quiet", "aria-hidden": true }, "Press to enlarge"),
  );
  open.addEventListener("click", () => openPicture(reply.title, picture.url, picture.alt));
  return open;
}

function downloads({ downloads }: WireReply): HTMLElement | null {
  if (downloads.length === 0) return null;
  const links = downloads.map(({ url, fileName }) =>
    el("a", { href: url, download: fileName, class: "act" }, `Download ${fileName}`),
  );
  return el("div", { class: "acts" }, ...links);
}
