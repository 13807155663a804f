/** Coming in: class code, name, and with the right code the group; staff have a pass. */
import { byId, el } from "./dom.js";
import { farewell } from "./keep.js";
import { ask, post } from "./post.js";

export interface Entry {
  readonly site: string;
  readonly me: string | null;
}

/** What the right code tells. */
interface Opened {
  readonly className: string;
  readonly groups: readonly string[];
}

/** Shows the form; resolves when the server let this browser in. */
export function askIn(entry: Entry): Promise<void> {
  byId("place").textContent = entry.site;
  const form = doorForm();
  byId("door").replaceChildren(form);
  byId("door").hidden = false;
  byId("door-code").addEventListener("change", () => void tryCode());
  if (location.hash.length > 1) void tryCode();
  form.querySelector<HTMLInputElement>(location.hash.length > 1 ? "#door-name" : "#door-code")?.focus();
  return new Promise((done) => {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      void send(form).then((problem) => {
        byId("door-problem").textContent = problem ?? "";
        if (problem?.includes("your pass")) byId<HTMLDetailsElement>("door-staff").open = true;
        if (problem !== null) return;
        history.replaceState(null, "", location.pathname);
        byId("door").hidden = true;
        done();
      });
    });
  });
}

/** The right code brings the class's name and groups, while the name is being typed. */
async function tryCode(): Promise<void> {
  const code = byId<HTMLInputElement>("door-code").value.trim();
  const said = byId("door-problem").textContent;
  if (code === "") return;
  const { problem, body } = await ask<Opened>("/code", { code });
  byId("door-class").textContent = body?.className ?? NO_CLASS_YET;
  byId("door-groups").replaceChildren(...(body && body.groups.length > 0 ? [groupChoice(body.groups)] : []));
  // What has been said meanwhile, when the whole form was sent, is newer.
  if (byId("door-problem").textContent === said) byId("door-problem").textContent = problem ?? "";
}

const NO_CLASS_YET = "Join the class";

function doorForm(): HTMLFormElement {
  const said = farewell();
  const code = el("input", {
    id: "door-code",
    name: "code",
    required: true,
    maxlength: 60,
    autocomplete: "off",
    autocapitalize: "characters",
    spellcheck: false,
    // As the QR code carries it; anything else is left to be typed.
    value: /^#([A-Za-z0-9-]{1,40})$/.exec(location.hash)?.[1] ?? "",
  });
  const name = el("input", {
    id: "door-name",
    name: "name",
    required: true,
    maxlength: 40,
    autocomplete: "given-name",
  });
  const pass = el("input", {
    id: "door-pass",
    name: "pass",
    maxlength: 60,
    autocomplete: "off",
    autocapitalize: "characters",
    spellcheck: false,
  });
  return el(
    "form",
    { class: "door" },
    el("h2", { id: "door-class" }, NO_CLASS_YET),
    said === "" ? null : el("p", { role: "status" }, said),
    labelled(
      "Class code",
      code,
      "Your instructor has it; the class screen may show it. Coming back on another device? Ask for a code of your own, and type it here.",
    ),
    labelled("Your name", name, "As the class knows you; everyone in it sees your name."),
    el("div", { id: "door-groups" }),
    el("p", { id: "door-problem", role: "alert", class: "problem" }),
    el(
      "details",
      { id: "door-staff" },
      el("summary", {}, "I teach or run the telescope"),
      labelled("One-time pass", pass, "Printed where Nightslate was started."),
    ),
    el("button", { type: "submit", class: "go" }, "Come in"),
  );
}

function groupChoice(groups: readonly string[]): HTMLElement {
  const options = [["", "No group"], ...groups.map((group) => [group, group] as const)] as const;
  const chips = options.map(([value, text], index) => {
    const id = `door-group-${index}`;
    const radio = el("input", { type: "radio", name: "group", id, value, checked: index === 0 });
    return el("span", { class: "chip" }, radio, el("label", { for: id }, text));
  });
  return el("fieldset", {}, el("legend", {}, "Your group"), el("div", { class: "chips" }, ...chips));
}

function labelled(text: string, input: HTMLInputElement, help: string): HTMLElement {
  input.setAttribute("aria-describedby", `${input.id}-help`);
  return el(
    "div",
    { class: "field" },
    el("label", { for: input.id }, text),
    input,
    el("span", { class: "quiet", id: `${input.id}-help` }, help),
  );
}

/** Sends the form; null when it let the browser in, else what is wrong. */
function send(form: HTMLFormElement): Promise<string | null> {
  const data = new FormData(form);
  const text = (name: string): string => String(data.get(name) ?? "").trim();
  const name = text("name");
  return post("/join", {
    code: text("code"),
    name,
    group: text("group") || null,
    pass: text("pass") || null,
  });
}
