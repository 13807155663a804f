/** What can be pressed instead of typed: the common four large, everything else from the command table. */
import type { WireCommand, WireEntry } from "../wire.js";
import { askCommand, askLine, say } from "./answer-card.js";
import { askPass, suggest } from "./ask.js";
import { button, byId, el } from "./dom.js";
import { openForm } from "./form.js";
import { greeting } from "./me.js";
import { ownRequests } from "./next.js";
import { peopleButtons } from "./people.js";
import { qrDrawing } from "./qr.js";

interface Control {
  readonly command: string;
  readonly word: string;
  readonly under: string;
  readonly sign: string;
}

const MAIN: readonly Control[] = [
  { command: "request", word: "Ask", under: "for a frame", sign: "✚" },
  { command: "when", word: "When", under: "will mine run?", sign: "◷" },
  { command: "withdraw", word: "Withdraw", under: "one of mine", sign: "↩" },
  { command: "tonight", word: "Tonight", under: "what is up", sign: "☾" },
];

/** Draws them for this reader's role; new commands of the table appear by themselves. */
export function showControls(): void {
  const commands = greeting()?.commands ?? [];
  byId("main-controls").replaceChildren(...MAIN.flatMap((control) => mainControl(control, commands)));
  const everything = commands.filter(({ who }) => who === "student");
  byId("more-controls").replaceChildren(...everything.map((spec) => plainControl(spec, true)));
  const staff = commands.filter(({ who }) => who !== "student");
  byId("staff").hidden = staff.length === 0;
  byId("staff-controls").replaceChildren(
    ...staff.map((spec) => plainControl(spec, false)),
    ...(greeting()?.me.role === "instructor" ? peopleButtons() : []),
  );
  const entry = greeting()?.entry ?? null;
  byId("staff-entry").replaceChildren(...(entry ? entryBox(entry) : []));
}

/** A pass that was asked for. */
export function showPass(role: string, pass: string): void {
  byId("staff-pass").textContent = `A pass for one ${role}: ${pass}`;
}

function mainControl(
  { command, word, under, sign }: Control,
  commands: readonly WireCommand[],
): HTMLElement[] {
  const spec = commands.find(({ name }) => name === command);
  if (!spec) return [];
  const control = el(
    "button",
    { type: "button", class: "main-control", "data-command": command },
    el("span", { class: "sign", "aria-hidden": true }, sign),
    el("span", {}, el("b", {}, word), ` ${under}`),
  );
  control.addEventListener("click", () => press(spec, word));
  return [control];
}

function press(spec: WireCommand, word: string): void {
  if (spec.name === "when" || spec.name === "tonight") void askLine(`/${spec.name}`);
  else if (spec.name === "withdraw") void withdraw(spec, word);
  else openForm(spec, word);
}

/** What is shown here as waiting may lag behind the last answer: only the server says that there is nothing. */
async function withdraw(spec: WireCommand, word: string): Promise<void> {
  const waiting = ownRequests().some(({ place }) => place !== 0);
  const found = waiting ? null : await suggest(spec.name, "request", "");
  if (found?.length === 0) say("You have nothing waiting, so there is nothing to withdraw.");
  else openForm(spec, word);
}

function plainControl(spec: WireCommand, withHelp: boolean): HTMLElement {
  const word = spec.name.charAt(0).toUpperCase() + spec.name.slice(1);
  const act = (): void => {
    if (QUICK.has(spec.name)) void askCommand(spec.name, {});
    else openForm(spec, word);
  };
  const control = button(word, act, { class: "plain-control", "data-command": spec.name, title: spec.help });
  if (withHelp) control.append(el("small", {}, spec.help));
  return control;
}

/** Useful without any choice. */
const QUICK: ReadonlySet<string> = new Set(["queue", "help", "undo", "compare"]);

function entryBox({ address, code, open, qr }: WireEntry): HTMLElement[] {
  const pass = (role: "instructor" | "operator"): HTMLElement =>
    button(`New ${role}'s pass`, () => askPass(role), { class: "act" });
  const reach = open
    ? ["Open to this network."]
    : [
        "Only this computer can open it: start with ",
        el("code", { class: "whole" }, "--lan"),
        " to let phones in.",
      ];
  const details = el(
    "details",
    {},
    el("summary", {}, "Letting people in"),
    el("p", {}, `Address ${address}, class code `, el("strong", {}, code)),
    el("p", { class: "quiet" }, ...reach),
    qr.length > 0 ? el("div", { class: "qr" }, qrDrawing(qr)) : null,
    el(
      "div",
      { class: "acts" },
      el("a", { href: "/wall", class: "act" }, "Wall screen"),
      ...(greeting()?.me.role === "instructor" ? [pass("instructor"), pass("operator")] : []),
    ),
    el("p", { id: "staff-pass", role: "status" }),
  );
  return [details];
}
