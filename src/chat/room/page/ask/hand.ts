/** For staff: one press that stops everything, always in view; and, worked by hand, what to observe and what became of it. */
import { html, nothing } from "lit-html";
import type { WireAction, WireHand, WireHello, WireReply } from "../../wire.js";
import { byId, draw, filePicker } from "../draw/dom.js";
import { actionRow, paragraphs } from "../draw/lines.js";
import { heard } from "../heard.js";
import { askCommand } from "./answer-card.js";
import { runCommand, runWithFiles } from "./to-server.js";

/** Said to the class; whoever pressed can say more with /announce. */
const PRESSED = "stopped by hand in the room";

/** For those who may hold the queue. */
export function showStop({ commands }: WireHello): void {
  const stop = byId("stop");
  stop.hidden = !commands.some(({ name }) => name === "hold");
  document.body.classList.toggle("with-stop", !stop.hidden);
}

/** Stops what is under way and keeps the next from being taken: one press, nothing asked. */
export function startStop(): void {
  byId("stop").addEventListener("click", () => void askCommand("hold", { reason: PRESSED, now: "yes" }));
}

/** The card of whoever works the telescope. */
export function showHand(hand: WireHand): void {
  byId("hand").hidden = false;
  shown = hand;
  drawHand();
}

let shown: WireHand | null = null;
/** What became of the last press, or that it is under way. */
let said: unknown = nothing;

/** The answer is told in the card itself: the next press is there too. */
function drawHand(): void {
  if (!shown) return;
  const { title, lines, actions } = shown;
  const [first, ...rest] = lines;
  draw(
    "hand-body",
    html`<p class="what">${title}</p>
      <div class="large">${paragraphs(first ? [first] : [])}</div>${paragraphs(rest)}
      ${actionRow(actions, ({ command, options }) => void tell(runCommand(command, options)))}${pickers(actions)}
      <div role="status">${said}</div>`,
  );
}

async function tell(answering: Promise<WireReply>): Promise<void> {
  const { tone, title, lines, frames } = await answering;
  const verdicts = frames.map(({ index, verdict }) => html`<p>Frame ${index}: ${verdict ?? "kept"}.</p>`);
  said =
    tone === "done"
      ? html`<p>✓ ${title}.</p>${verdicts}`
      : html`<div class="problem"><p><b>${title}</b></p>${paragraphs(lines)}</div>`;
  drawHand();
}

/** For each action that files may go with: done, with its frames. */
function pickers(actions: readonly WireAction[]): unknown {
  const commands = heard.hello?.commands ?? [];
  const picked = actions.flatMap(({ command, options, label }) => {
    const takes = commands
      .find(({ name }) => name === command)
      ?.options.filter(({ kind }) => kind === "files");
    return (takes ?? [])
      .filter(
        ({ onlyWith }) => onlyWith === null || onlyWith.choices.includes(options[onlyWith.option] ?? ""),
      )
      .map(({ name: option }) =>
        filePicker(
          `${label}, with ${option} …`,
          (files) => void tell(runWithFiles(command, options, { option, files, onSending: sending })),
        ),
      );
  });
  return picked.length === 0 ? nothing : html`<div class="acts">${picked}</div>`;
}

function sending(text: string): void {
  said = html`<p class="quiet">${text}</p>`;
  drawHand();
}
