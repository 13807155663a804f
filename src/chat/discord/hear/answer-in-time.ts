/**
 * Answers one interaction in time.
 *
 *   run ──quick──▶ answered with content
 *    └──after a while──▶ acknowledged ("one moment") ──▶ filled in when the work is done
 *   known to be slow, one of many, or late on arrival: acknowledged ──▶ run ──▶ filled in
 */
import { InteractionResponseType, MessageFlags } from "discord.js";
import type { Clock } from "../../../base/clock.js";
import { type Millis, SECOND } from "../../../base/units.js";
import type { Reply } from "../../../commands/reply.js";
import { deferral, type InteractionKey } from "../api.js";
import { sentUnixMs } from "../deliver/look-back.js";
import { nonceFor } from "../deliver/nonce.js";
import type { Outgoing } from "../deliver/outgoing.js";
import { explain } from "../errors.js";
import type { Kit } from "../kit.js";

/** Work that is not done by then is acknowledged first. */
const PATIENCE: Millis = 400;
/**
 * Older than this on arrival (a replay, a slow network, a busy computer): make sure that the platform still
 * takes an answer before acting.
 */
const LATE: Millis = SECOND / 2;

export interface AnswerOptions {
  readonly key: InteractionKey;
  /** The account to write to when the answer comes too late for the interaction. */
  readonly userId: string;
  /** Whether it is known to take long. */
  readonly slow: boolean;
  /** Whether the answer replaces the message whose button was pressed. */
  readonly updates: boolean;
  readonly work: () => Promise<Reply>;
  readonly render: (reply: Reply) => Promise<Outgoing>;
}

type FirstAnswer = "taken" | "expired";

/** Runs the work and shows its reply. Rejects only when the platform cannot be reached at all. */
export async function answer(kit: Kit, options: AnswerOptions): Promise<void> {
  const { realClock, turns } = kit;
  const isLate = realClock.now() - sentUnixMs(options.key.id) > LATE;
  if (options.slow || isLate || turns.isCrowded()) {
    // What nobody hears the end of must not be done either: the person will ask again.
    if ((await acknowledge(kit, options)) !== "taken") return;
    return fillIn(kit, options, await turns.run(options.work));
  }
  const work = turns.run(options.work);
  const quick = await within(realClock, PATIENCE, work);
  if (quick !== null) return answerAtOnce(kit, options, quick);
  const acknowledged = acknowledge(kit, options);
  const reply = await work;
  await acknowledged;
  await fillIn(kit, options, reply);
}

async function answerAtOnce(kit: Kit, options: AnswerOptions, reply: Reply): Promise<void> {
  const { UpdateMessage, ChannelMessageWithSource } = InteractionResponseType;
  const replaces = options.updates && replacesPressed(reply);
  const outgoing = await options.render(reply);
  if (outgoing.files.length > 0) {
    // An upload may take longer than the platform waits for an answer.
    await acknowledge(kit, options);
    return fillIn(kit, options, reply);
  }
  try {
    await kit.api.answerWith(options.key, replaces ? UpdateMessage : ChannelMessageWithSource, outgoing);
  } catch (error) {
    await afterTrouble(kit, options, error, outgoing);
  }
}

/** "One moment": only the asker sees it. */
async function acknowledge(kit: Kit, { key, updates }: AnswerOptions): Promise<FirstAnswer> {
  try {
    await kit.api.answer(key, deferral(true, updates));
  } catch (error) {
    const fault = explain(error);
    if (fault.kind === "answered") return "taken";
    kit.log.warn({ code: fault.code }, `an interaction could not be acknowledged: ${fault.sentence}`);
    if (fault.kind === "expired") return "expired";
  }
  return "taken";
}

/** Fills in after an acknowledgement. */
async function fillIn(kit: Kit, options: AnswerOptions, reply: Reply): Promise<void> {
  const { api } = kit;
  const outgoing = await options.render(reply);
  try {
    if (options.updates && !replacesPressed(reply)) {
      await api.followUp(options.key, outgoing);
      return;
    }
    await api.editAnswer(options.key, outgoing);
  } catch (error) {
    await afterTrouble(kit, options, error, outgoing);
  }
}

/** Whatever became of the answer, the person is told: in its place if that is open still, else directly. */
async function afterTrouble(
  kit: Kit,
  { key, userId }: AnswerOptions,
  error: unknown,
  outgoing: Outgoing,
): Promise<void> {
  const { api, log } = kit;
  const fault = explain(error);
  if (fault.kind === "answered") return;
  log.warn({ code: fault.code }, `an answer went astray: ${fault.sentence}`);
  const tooLarge = fault.kind === "too-large";
  const bare = tooLarge ? withNote(outgoing, "The picture is larger than Discord takes here.") : outgoing;
  if (tooLarge || fault.kind === "uncertain") {
    const second = await api.editAnswer(key, bare).then(() => null, explain);
    if (second?.kind !== "expired") return;
  } else if (fault.kind !== "expired") return;
  try {
    const late = withNote(bare, "Discord keeps an answer open only for a while; this one came later.");
    await api.post(await api.directChannel(userId), { ...late, flags: 0 }, nonceFor(`late:${key.id}`));
  } catch (third) {
    log.warn({ code: explain(third).code }, "a late answer could not be sent directly either");
  }
}

function withNote(outgoing: Outgoing, note: string): Outgoing {
  return { ...outgoing, content: `${outgoing.content.slice(0, 1_900)}\n${note}`, files: [] };
}

/** A refusal leaves the pressed message as it was. */
function replacesPressed(reply: Reply): boolean {
  return reply.tone !== "refused";
}

/** The result if it comes soon enough, else null. */
async function within<T>(clock: Clock, ms: Millis, work: Promise<T>): Promise<T | null> {
  let callOff = (): void => {};
  const late = new Promise<null>((done) => {
    callOff = clock.at(clock.now() + ms, () => done(null));
  });
  return Promise.race([work, late]).finally(() => callOff());
}

/** Whether a message is one that only its reader sees. */
export function isEphemeral(flags: number | undefined): boolean {
  return ((flags ?? 0) & MessageFlags.Ephemeral) !== 0;
}
