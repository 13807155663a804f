/** What an instructor does for people: lets someone back in under their own name, takes staff rights back. */
import { html, nothing } from "lit-html";
import type { WireLetBack, WirePerson } from "../../wire.js";
import { button, onSubmit } from "../draw/dom.js";
import { drawSheet, openSheet } from "../draw/sheet.js";
import { ask } from "../post.js";

interface Deed {
  readonly title: string;
  readonly explains: string;
  readonly path: string;
  readonly nobody: string;
  readonly fits: (person: WirePerson) => boolean;
  readonly done: (answer: WireLetBack) => unknown;
}

const DEEDS: readonly Deed[] = [
  {
    title: "Let someone back in",
    explains:
      "For someone with another phone or browser. You get a code for their name, good for one use; where they were in before, they are signed out.",
    path: "/let-back",
    nobody: "Nobody else has come in yet.",
    fits: () => true,
    done: ({ name, code, minutes }) =>
      html`Tell ${name}: type the name ${name} and, as the class code, <strong class="code">${code}</strong>. It works once, within ${minutes} min.`,
  },
  {
    title: "Take staff rights back",
    explains:
      "They become a student and are signed out everywhere; passes and codes they made no longer work. You can let them back in.",
    path: "/demote",
    nobody: "Nobody else has staff rights.",
    fits: ({ role }) => role !== "student",
    done: ({ name }) => `${name} is a student now, and signed out.`,
  },
];

/** The buttons for it. */
export function peopleButtons(): unknown {
  return DEEDS.map((deed) => button(deed.title, () => void open(deed), "plain-control"));
}

async function open(deed: Deed): Promise<void> {
  const { problem, body } = await ask<{ people: readonly WirePerson[] }>("/people");
  const people = body?.people.filter(deed.fits) ?? [];
  const nobody = html`<p role="status">${problem ?? deed.nobody}</p>`;
  openSheet(deed.title, people.length === 0 ? nobody : form(deed, people, "", nothing));
}

function form(deed: Deed, people: readonly WirePerson[], problem: string, done: unknown): unknown {
  const send = async (sent: HTMLFormElement): Promise<void> => {
    const { problem, body } = await ask<WireLetBack>(deed.path, Object.fromEntries(new FormData(sent)));
    if (sent.isConnected)
      drawSheet(deed.title, form(deed, people, problem ?? "", body ? deed.done(body) : nothing));
  };
  const options = people.map(
    ({ id, name, role }) =>
      html`<option value=${id}>${role === "student" ? name : `${name}, ${role}`}</option>`,
  );
  return html`<form class="command" @submit=${onSubmit((sent) => void send(sent))}>
    <p class="quiet">${deed.explains}</p>
    <div class="field"><label for="person">Who</label>
      <select id="person" name="id" required><option value="">Choose a name</option>${options}</select></div>
    <p role="alert" class="problem">${problem}</p>
    <button type="submit" class="go">${deed.title}</button>
    <p id="person-done" role="status">${done}</p>
  </form>`;
}
