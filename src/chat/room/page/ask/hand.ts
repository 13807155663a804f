/** For staff: one press that stops everything, always in view; and, worked by hand, what to observe and what became of it. */
import { html, nothing } from "lit-html";
import type { WireAction, WireHand, WireHello } from "../../wire.js";
import { byId, draw, filePicker } from "../draw/dom.js";
import { actionRow, paragraphs } from "../draw/lines.js";
import { heard } from "../heard.js";
import { askCommand, askWithFiles } from "./answer-card.js";

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
export function showHand({ title, lines, actions }: WireHand): void {
  byId("hand").hidden = false;
  const [first, ...rest] = lines;
  draw(
    "hand-body",
    html`<p class="what">${title}</p>
      <div class="large">${paragraphs(first ? [first] : [])}</div>${paragraphs(rest)}
      ${actionRow(actions, ({ command, options }) => void askCommand(command, options))}${pickers(actions)}`,
  );
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
      .map(({ name }) =>
        filePicker(`${label}, with ${name} …`, (files) => void askWithFiles(command, options, name, files)),
      );
  });
  return picked.length === 0 ? nothing : html`<div class="acts">${picked}</div>`;
}
