/** What can be pressed instead of typed: the common four large, everything else from the command table. */
import { html, nothing } from "lit-html";
import type { WireCommand, WireHello } from "../../wire.js";
import { button, byId, draw } from "../draw/dom.js";
import { qrDrawing } from "../draw/qr.js";
import { heard } from "../heard.js";
import { peopleButtons } from "../people/rights.js";
import { askCommand, askLine, say } from "./answer-card.js";
import { openForm } from "./form.js";
import { askPass, suggest } from "./to-server.js";

/** The common four: word on the button, what stands behind it, sign. */
const MAIN: Readonly<Record<string, readonly [word: string, under: string, sign: string]>> = {
  request: ["Ask", "for a frame", "✚"],
  when: ["When", "will mine run?", "◷"],
  withdraw: ["Withdraw", "one of mine", "↩"],
  tonight: ["Tonight", "what is up", "☾"],
};
/** Useful without any choice. */
const QUICK: ReadonlySet<string> = new Set(["queue", "help", "undo", "compare"]);

/** Draws them for this reader's role; new commands of the table appear by themselves. */
export function showControls({ commands, me, entry }: WireHello): void {
  const main = Object.keys(MAIN).flatMap((name) => commands.find((each) => each.name === name) ?? []);
  const staff = commands.filter(({ who }) => who !== "student");
  draw("main-controls", main.map(mainControl));
  draw(
    "more-controls",
    commands.filter(({ who }) => who === "student").map((spec) => plainControl(spec, true)),
  );
  byId("staff").hidden = staff.length === 0;
  draw("staff-controls", [
    staff.map((spec) => plainControl(spec, false)),
    me.role === "instructor" ? peopleButtons() : nothing,
  ]);
  draw("staff-entry", entry ? entryBox(entry, me.role) : nothing);
}

/** A pass that was asked for. */
export function showPass(role: string, pass: string): void {
  byId("staff-pass").textContent = `A pass for one ${role}: ${pass}`;
}

function mainControl(spec: WireCommand): unknown {
  const [word, under, sign] = MAIN[spec.name] ?? ["", "", ""];
  return html`<button type="button" class="main-control" data-command=${spec.name} @click=${() => press(spec, word)}
    ><span class="sign" aria-hidden="true">${sign}</span><span><b>${word}</b> ${under}</span></button>`;
}

function press(spec: WireCommand, word: string): void {
  if (spec.name === "when" || spec.name === "tonight") void askLine(`/${spec.name}`);
  else if (spec.name === "withdraw") void withdraw(spec, word);
  else openForm(spec, word);
}

/** What is shown here as waiting may lag behind the last answer: only the server says that there is nothing. */
async function withdraw(spec: WireCommand, word: string): Promise<void> {
  const waiting = heard.own.some(({ place }) => place !== 0);
  const found = waiting ? null : await suggest(spec.name, "request", "");
  if (found?.length === 0) say("You have nothing waiting, so there is nothing to withdraw.");
  else openForm(spec, word);
}

function plainControl(spec: WireCommand, withHelp: boolean): unknown {
  const word = spec.name.charAt(0).toUpperCase() + spec.name.slice(1);
  const act = (): void => {
    if (QUICK.has(spec.name)) void askCommand(spec.name, {});
    else openForm(spec, word);
  };
  return html`<button type="button" class="plain-control" data-command=${spec.name} title=${spec.help} @click=${act}
    >${word}${withHelp ? html`<small>${spec.help}</small>` : nothing}</button>`;
}

function entryBox({ address, code, open, qr }: NonNullable<WireHello["entry"]>, role: string): unknown {
  const shut = html`Only this computer can open it: start with <code class="whole">--lan</code> to let phones in.`;
  const pass = (each: "instructor" | "operator") => button(`New ${each}'s pass`, () => askPass(each));
  const passes = role === "instructor" ? [pass("instructor"), pass("operator")] : nothing;
  return html`<details><summary>Letting people in</summary>
    <p>Address ${address}, class code <strong>${code}</strong></p>
    <p class="quiet">${open ? "Open to this network." : shut}</p>${qrDrawing(qr)}
    <div class="acts"><a href="/wall" class="act">Wall screen</a>${passes}</div>
    <p id="staff-pass" role="status"></p></details>`;
}
