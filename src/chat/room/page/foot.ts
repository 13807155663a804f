/** Who the reader is here; becoming staff by a pass; leaving. */
import type { WireHello } from "../wire.js";
import { button, byId, el } from "./dom.js";
import { post } from "./post.js";
import { openSheet } from "./sheet.js";

const FAREWELL_WITHIN_MS = 3_000;

export function showFoot({ me, site }: WireHello): void {
  const leave = button("Leave on this device", () => askLeave(me), { class: "act" });
  const staff = button("I have a staff pass", askPass, { class: "act" });
  const who = el("span", {}, `You are ${me.name}, ${me.role} of ${site.className}.`);
  byId("foot").replaceChildren(who, ...(me.role === "instructor" ? [] : [staff]), leave);
}

function askPass(): void {
  const pass = el("input", {
    id: "foot-pass",
    required: true,
    maxlength: 60,
    autocomplete: "off",
    spellcheck: false,
  });
  const problem = el("p", { role: "alert", class: "problem" });
  const form = el(
    "form",
    { class: "command" },
    el("div", { class: "field" }, el("label", { for: "foot-pass" }, "One-time pass"), pass),
    problem,
    el("button", { type: "submit", class: "go" }, "Use it"),
  );
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    void post("/pass", { pass: pass.value.trim() }).then((wrong) => {
      if (wrong === null) location.reload();
      else problem.textContent = wrong;
    });
  });
  openSheet("I have a staff pass", form);
}

function askLeave({ name, role }: WireHello["me"]): void {
  const warning =
    role === "student"
      ? `You will be signed out here. To come back as ${name}, ask your instructor.`
      : `You will be signed out here and wherever else you are in. To come back as ${name}, use a new staff pass.`;
  const leave = button("Leave", () => void post("/leave", {}).then(reloadSoon), { class: "go" });
  openSheet("Leave on this device?", el("div", { class: "command" }, el("p", {}, warning), leave));
}

/** The connection ends with a farewell, which the door shows; a page that has lost it comes to the door without. */
function reloadSoon(): void {
  setTimeout(() => location.reload(), FAREWELL_WITHIN_MS);
}
