/** /equipment: what the telescope, dome, camera and sky are fit for, as staff see it. */

import { capital, listed } from "../../base/english.js";
import { Refusal } from "../../base/refusal.js";
import type { Equipment } from "../../journal/events.js";
import { heldBy } from "../../journal/held-by.js";
import type { TelescopeTraits } from "../../journal/telescope-status.js";
import { heldWords } from "../../notices/words/held.js";
import type { RawOptions } from "../command.js";
import { defineCommand } from "../define.js";
import { askableFrom } from "../plan/up-now.js";
import { cleanText } from "../read/clean-text.js";
import type { Reply } from "../reply.js";
import { conditionWarnings, equipmentWords } from "../words/telescope-words.js";

const PARTS = ["telescope", "dome", "camera", "sky"] as const;

/** What staff say of each part. */
const STATES: Readonly<Record<keyof Equipment, readonly string[]>> = {
  telescope: ["ready", "fault"],
  dome: ["open", "shut", "fault"],
  camera: ["fitted", "away", "fault"],
  sky: ["clear", "cloud", "unknown"],
};

export const equipment = defineCommand({
  name: "equipment",
  who: "operator",
  help: "Shows or sets the state of telescope, dome, camera and sky; shown wherever it matters.",
  otherwise: "/tonight shows the conditions.",
  options: [
    {
      name: "part",
      kind: "choice",
      choices: PARTS,
      help: "Which part",
    },
    {
      name: "state",
      kind: "choice",
      choices: ["ready", "open", "shut", "fitted", "away", "clear", "cloud", "unknown", "fault"],
      help: "How it is now",
    },
    {
      name: "anyway",
      kind: "choice",
      choices: ["yes"],
      help: "With dome shut: requests go on, to show what a shut dome gives",
    },
  ],
  examples: ["/equipment", "/equipment camera away", "/equipment dome shut", "/equipment dome shut anyway"],
  prepare: refuseOtherState,
  answer: async ({ call, values, services, now }) => {
    const { part, state, anyway } = values;
    const isDark = askableFrom(now, services.config.observatory) === now;
    if (part === undefined && state === undefined)
      return shown(services.desk.state.equipment, isDark, services.telescope().traits);
    if (part === undefined || state === undefined) throw incomplete(part);
    if (anyway !== undefined && services.telescope().traits.movesMachines) throw opensByItself();
    await services.desk.act(
      (before) => [
        {
          type: "equipment.changed",
          equipment: { ...before.equipment, [part]: meant(part, state, anyway) },
          by: call.asker.id,
          part,
        },
      ],
      { by: call.asker.id, onceKey: call.onceKey },
    );
    const reply = shown(services.desk.state.equipment, isDark, services.telescope().traits);
    const held = heldBy(services.desk.state);
    const waits = held ? capital(heldWords(held, services.desk.state.waiting.size)) : null;
    // "The dome is kept shut." says no more than "The dome is kept shut: 2 wait."
    const others = reply.lines.filter((line) => !waits?.startsWith(line.join("").slice(0, -1)));
    const lines = waits === null ? others : [...others, [`${waits}.`]];
    return { ...reply, tone: "done", title: `${capital(part)}: ${state}`, lines };
  },
});

/** Of the part that is named, only its own states are worth listing. */
function refuseOtherState(raw: RawOptions): RawOptions {
  const part = PARTS.find((each) => each === String(raw.part).trim().toLowerCase());
  const state = cleanText(String(raw.state ?? "")).toLowerCase();
  if (part === undefined || state === "" || STATES[part].some((each) => each === state)) return raw;
  throw new Refusal(
    "wrong-state",
    `The ${part} cannot be "${state.slice(0, 30)}"; it can be ${listed(STATES[part], "or")}.`,
  );
}

/** A dome that staff shut stays shut, unless it is to be seen what that gives. */
function meant(part: keyof Equipment, state: string, anyway: "yes" | undefined): string {
  const shut = part === "dome" && state === "shut";
  if (anyway !== undefined && !shut)
    throw new Refusal("not-shut", "Only a shut dome can be had anyway: type /equipment dome shut anyway.");
  return shut && anyway === undefined ? "kept-shut" : state;
}

/** Where machines move by themselves no frame is taken through a shut dome. */
function opensByItself(): Refusal {
  return new Refusal(
    "dome-opens",
    "This telescope opens its dome for every request, so there is no frame of a shut one: type /equipment dome shut to keep it shut.",
  );
}

function incomplete(part: keyof Equipment | undefined): Refusal {
  const which = part ?? "camera";
  return new Refusal(
    "missing-option",
    `Say the part and its state, as in /equipment ${which} ${STATES[which][1]}; the ${which} can be ${listed(STATES[which], "or")}.`,
  );
}

function shown(equipment: Equipment, isDark: boolean, traits: TelescopeTraits): Reply {
  const warnings = conditionWarnings(equipment, isDark, traits);
  return {
    tone: "answer",
    title: warnings.length === 0 ? "Equipment: nothing known to be wrong" : "Equipment: needs attention",
    lines: [[`${capital(equipmentWords(equipment))}.`], ...warnings.map((each) => [each])],
  };
}
