/** What an instructor does for people: lets someone back in under their own name, takes staff rights back. */
import { button, byId, el } from "./dom.js";
import { ask } from "./post.js";
import { openSheet } from "./sheet.js";

interface Listed {
  readonly id: string;
  readonly name: string;
  readonly role: string;
}

interface Deed {
  readonly title: string;
  readonly explains: string;
  readonly path: string;
  readonly nobody: string;
  readonly fits: (person: Listed) => boolean;
  readonly done: (answer: { name: string; code: string; minutes: number }) => readonly (Node | string)[];
}

const DEEDS: readonly Deed[] = [
  {
    title: "Let someone back in",
    explains:
      "For someone with another phone or browser. You get a code for their name, good for one use; where they were in before, they are signed out.",
    path: "/let-back",
    nobody: "Nobody else has come in yet.",
    fits: () => true,
    done: ({ name, code, minutes }) => [
      `Tell ${name}: type the name ${name} and, as the class code, `,
      el("strong", { class: "code" }, code),
      `. It works once, within ${minutes} min.`,
    ],
  },
  {
    title: "Take staff rights back",
    explains:
      "They become a student and are signed out everywhere; passes and codes they made no longer work. You can let them back in.",
    path: "/demote",
    nobody: "Nobody else has staff rights.",
    fits: ({ role }) => role !== "student",
    done: ({ name }) => [`${name} is a student now, and signed out.`],
  },
];

/** The buttons for it. */
export function peopleButtons(): HTMLElement[] {
  return DEEDS.map((deed) => button(deed.title, () => void open(deed), { class: "plain-control" }));
}

async function open(deed: Deed): Promise<void> {
  const { problem, body } = await ask<{ people: readonly Listed[] }>("/people");
  const people = body?.people.filter(deed.fits) ?? [];
  if (people.length === 0) openSheet(deed.title, el("p", { role: "status" }, problem ?? deed.nobody));
  else openSheet(deed.title, form(deed, people));
}

function form(deed: Deed, people: readonly Listed[]): HTMLFormElement {
  const options = people.map(({ id, name, role }) =>
    el("option", { value: id }, role === "student" ? name : `${name}, ${role}`),
  );
  const choice = el(
    "select",
    { id: "person", name: "person", required: true },
    el("option", { value: "" }, "Choose a name"),
    ...options,
  );
  const made = el(
    "form",
    { class: "command" },
    el("p", { class: "quiet" }, deed.explains),
    el("div", { class: "field" }, el("label", { for: "person" }, "Who"), choice),
    el("p", { id: "person-problem", role: "alert", class: "problem" }),
    el("button", { type: "submit", class: "go" }, deed.title),
    el("p", { id: "person-done", role: "status" }),
  );
  made.addEventListener("submit", (event) => {
    event.preventDefault();
    void send(deed, choice.value);
  });
  return made;
}

async function send(deed: Deed, id: string): Promise<void> {
  const { problem, body } = await ask<Parameters<Deed["done"]>[0]>(deed.path, { id });
  byId("person-problem").textContent = problem ?? "";
  byId("person-done").replaceChildren(...(body ? deed.done(body) : []));
}
