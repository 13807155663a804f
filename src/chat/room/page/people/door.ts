/** Coming in: class code, name, and with the right code the group; staff have a pass. */
import { html, nothing } from "lit-html";
import type { WireDoor, WireOpened } from "../../wire.js";
import { byId, chip, draw, onSubmit } from "../draw/dom.js";
import { farewell } from "../keep.js";
import { ask, post } from "../post.js";

/** Shows the form; resolves when the server let this browser in. */
export function askIn(entry: WireDoor): Promise<void> {
  byId("place").textContent = entry.site;
  return new Promise((done) => new DoorForm(done).open());
}

class DoorForm {
  private readonly said = farewell();
  private opened: WireOpened | null = null;
  private problem = "";

  constructor(private readonly done: () => void) {}

  open(): void {
    this.draw();
    byId("door").hidden = false;
    const hasCode = location.hash.length > 1;
    if (hasCode) void this.tryCode();
    byId(hasCode ? "door-name" : "door-code").focus();
  }

  /** The right code brings the class's name and groups, while the name is being typed. */
  private async tryCode(): Promise<void> {
    const code = byId<HTMLInputElement>("door-code").value.trim();
    const said = this.problem;
    if (code === "") return;
    const { problem, body } = await ask<WireOpened>("/code", { code });
    this.opened = body;
    // What has been said meanwhile, when the whole form was sent, is newer.
    if (this.problem === said) this.problem = problem ?? "";
    this.draw();
  }

  private async send(form: HTMLFormElement): Promise<void> {
    const data = new FormData(form);
    const text = (name: string): string => String(data.get(name) ?? "").trim();
    const [code, name, group, pass] = ["code", "name", "group", "pass"].map(text);
    const problem = await post("/join", { code, name, group: group || null, pass: pass || null });
    this.problem = problem ?? "";
    this.draw();
    if (problem?.includes("your pass")) byId<HTMLDetailsElement>("door-staff").open = true;
    if (problem !== null) return;
    history.replaceState(null, "", location.pathname);
    byId("door").hidden = true;
    this.done();
  }

  private draw(): void {
    const { said, opened, problem } = this;
    // As the QR code carries it; anything else is left to be typed.
    const code = /^#([A-Za-z0-9-]{1,40})$/.exec(location.hash)?.[1] ?? "";
    draw(
      "door",
      html`<form class="door" @submit=${onSubmit((form) => void this.send(form))}>
        <h2 id="door-class">${opened?.className ?? "Join the class"}</h2>
        ${said === "" ? nothing : html`<p role="status">${said}</p>`}
        <div class="field"><label for="door-code">Class code</label>
          <input id="door-code" name="code" required maxlength="60" autocomplete="off" autocapitalize="characters"
            spellcheck="false" value=${code} aria-describedby="door-code-help" @change=${() => void this.tryCode()}>
          <span class="quiet" id="door-code-help">Your instructor has it; the class screen may show it. Coming back on another device? Ask for a code of your own, and type it here.</span></div>
        <div class="field"><label for="door-name">Your name</label>
          <input id="door-name" name="name" required maxlength="40" autocomplete="given-name" aria-describedby="door-name-help">
          <span class="quiet" id="door-name-help">As the class knows you; everyone in it sees your name.</span></div>
        <div id="door-groups">${opened && opened.groups.length > 0 ? groupChoice(opened.groups) : nothing}</div>
        <p id="door-problem" role="alert" class="problem">${problem}</p>
        <details id="door-staff"><summary>I teach or run the telescope</summary>
          <div class="field"><label for="door-pass">One-time pass</label>
            <input id="door-pass" name="pass" maxlength="60" autocomplete="off" autocapitalize="characters"
              spellcheck="false" aria-describedby="door-pass-help">
            <span class="quiet" id="door-pass-help">Printed where Nightslate was started.</span></div></details>
        <button type="submit" class="go">Come in</button>
      </form>`,
    );
  }
}

function groupChoice(groups: readonly string[]): unknown {
  const chips = ["", ...groups].map((group, index) =>
    chip(`door-group-${index}`, group || "No group", { name: "group", value: group, checked: index === 0 }),
  );
  return html`<fieldset><legend>Your group</legend><div class="chips">${chips}</div></fieldset>`;
}
