/** Runs one call: role, options, decision, answer. Whatever happens, the person gets a sentence. */
import type { Phrase } from "../base/phrase.js";
import { Refusal } from "../base/refusal.js";
import { atSite, hasRoof, phraseAtSite } from "../notices/words/roof.js";
import type { Call } from "./command.js";
import { commandNamed } from "./named.js";
import { Offer } from "./offer.js";
import { joining } from "./people/people.js";
import { refuseRole } from "./people/roles.js";
import type { Reply } from "./reply.js";
import type { Services } from "./services.js";
import { commandTable } from "./table.js";

/** Runs a command for the person who asked; never rejects: a refusal and a fault are replies too. */
export async function dispatch(call: Call, services: Services): Promise<Reply> {
  try {
    const command = commandNamed(call.command, commandTable);
    refuseRole(command, call.asker);
    await makeKnown(call, services);
    return replyAtSite(await command.run(call, services), services);
  } catch (error) {
    return error instanceof Refusal
      ? replyAtSite(refusedReply(error, call.command), services)
      : faultReply(error, call, services);
  }
}

/** A reply in the words of the site. */
export function replyAtSite(reply: Reply, { config }: Pick<Services, "config">): Reply {
  if (!hasRoof(config)) return reply;
  const said = (phrase: Phrase): Phrase => phraseAtSite(phrase, config);
  const { title, lines, fields, table, actions } = reply;
  return {
    ...reply,
    title: atSite(title, config),
    lines: lines.map(said),
    ...(fields && { fields: fields.map(({ name, value }) => ({ name, value: said(value) })) }),
    ...(table && { table: { ...table, rows: table.rows.map((row) => row.map(said)) } }),
    ...(actions && { actions: actions.map((each) => ({ ...each, label: atSite(each.label, config) })) }),
  };
}

/** What is refused only until it is said which is meant. */
const WHICH = new Set(["which-target", "two-targets", "which-time"]);

/**
 * A refusal as every surface shows it.
 * @param command the command's name, where it is known
 */
export function refusedReply(refusal: Refusal, command = ""): Reply {
  const offer = refusal instanceof Offer ? refusal : null;
  const asks = commandTable.some((each) => each.asks && each.name === command);
  return {
    tone: "refused",
    title: WHICH.has(refusal.code) ? "Which one?" : asks ? "No answer to that" : "Not done",
    lines: offer?.lines ?? [[refusal.message]],
    ...(offer && offer.actions.length > 0 ? { actions: offer.actions } : {}),
  };
}

/** Someone who only looks is answered even when the disk refuses to remember them. */
async function makeKnown({ asker, from }: Call, { desk, config }: Services): Promise<void> {
  if (joining(desk.state, asker, from, config) === null) return;
  try {
    await desk.act((state) => [joining(state, asker, from, config) ?? []].flat(), { by: asker.id });
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
  }
}

function faultReply(error: unknown, call: Call, services: Services): Reply {
  const known = commandTable.some((each) => each.name === call.command);
  services.log?.error({ err: error, command: known ? call.command : "unknown" }, "a command failed");
  return {
    tone: "refused",
    title: "Something went wrong",
    lines: [
      [
        "Nightslate made a mistake here; the operator's log has the details. Type /mine to see how your requests stand, then try again.",
      ],
    ],
  };
}
