/** Who the reader is here; becoming staff by a pass; leaving. */
import { html, nothing } from "lit-html";
import type { WireHello } from "../../wire.js";
import { button, byId, draw, onSubmit } from "../draw/dom.js";
import { openSheet } from "../draw/sheet.js";
import { post } from "../post.js";

const FAREWELL_WITHIN_MS = 3_000;

export function showFoot({ me, site }: WireHello): void {
  draw(
    "foot",
    html`<span>You are ${me.name}, ${me.role} of ${site.className}.</span>
      ${me.role === "instructor" ? nothing : button("I have a staff pass", askPass)}
      ${button("Leave on this device", () => askLeave(me))}`,
  );
}

function askPass(): void {
  const send = async (): Promise<void> => {
    const wrong = await post("/pass", { pass: byId<HTMLInputElement>("foot-pass").value.trim() });
    if (wrong === null) location.reload();
    else byId("foot-problem").textContent = wrong;
  };
  openSheet(
    "I have a staff pass",
    html`<form class="command" @submit=${onSubmit(() => void send())}>
      <div class="field"><label for="foot-pass">One-time pass</label>
        <input id="foot-pass" required maxlength="60" autocomplete="off" spellcheck="false"></div>
      <p id="foot-problem" role="alert" class="problem"></p>
      <button type="submit" class="go">Use it</button>
    </form>`,
  );
}

function askLeave({ name, role }: WireHello["me"]): void {
  const warning =
    role === "student"
      ? `You will be signed out here. To come back as ${name}, ask your instructor.`
      : `You will be signed out here and wherever else you are in. To come back as ${name}, use a new staff pass.`;
  const leave = button("Leave", () => void post("/leave", {}).then(reloadSoon), "go");
  openSheet("Leave on this device?", html`<div class="command"><p>${warning}</p>${leave}</div>`);
}

/** The connection ends with a farewell, which the door shows; a page that has lost it comes to the door without. */
function reloadSoon(): void {
  setTimeout(() => location.reload(), FAREWELL_WITHIN_MS);
}
