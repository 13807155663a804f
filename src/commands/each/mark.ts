/** /mark: an operator says what has become of a request at a telescope that is worked by hand. */
import { say } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import type { UtcMillis } from "../../base/units.js";
import { takeOnWord } from "../../estimates/taking.js";
import type { FrameRecord, NightslateEvent } from "../../journal/events.js";
import type { State } from "../../journal/state.js";
import type { Request } from "../../queue/request.js";
import { cancelEvent } from "../cancelling.js";
import { type Ask, defineCommand, type Values } from "../define.js";
import { requestOf } from "../read/read-request.js";
import type { Reply } from "../reply.js";
import type { Present, Services } from "../services.js";
import { operatorCard } from "../words/operator-card.js";

const OPTIONS = [
  {
    name: "request",
    kind: "request",
    help: "Its number; what is under way, or comes next, when left out",
    offer: "all-active",
    ofOthers: true,
  },
  {
    name: "what",
    kind: "choice",
    choices: ["taken", "done", "failed", "stopped"],
    help: "What became of it; shows what to observe when left out",
  },
  {
    name: "frames",
    kind: "text",
    named: true,
    help: "With done, at the terminal: its FITS files on this machine, with commas between",
    maxLength: 300,
  },
  {
    name: "reason",
    kind: "text",
    help: "Why it failed or was stopped; its owner is told",
    maxLength: 200,
  },
] as const;

type MarkAsk = Ask<Values<typeof OPTIONS>>;
type What = "taken" | "done" | "failed" | "stopped";

export const mark = defineCommand({
  name: "mark",
  who: "operator",
  help: "By hand: what to observe next, and what became of it: taken, done, failed, stopped.",
  otherwise: "/telescope shows what is being observed.",
  options: OPTIONS,
  examples: [
    "/mark",
    "/mark 12 done",
    "/mark 12 taken",
    '/mark 12 done frames="m13-1.fits, m13-2.fits"',
    "/mark 12 failed clouds came in",
    "/mark 12 stopped",
  ],
  answer: async (ask) => {
    const { values, services } = ask;
    const { what } = values;
    if (what === undefined) return cardReply(services, "answer", []);
    if (what !== "stopped") refuseSelfDriven(services);
    const handed = await keepFrames(ask);
    let number = 0;
    const { entry } = await ask.act((state, atUnixMs) => {
      number = values.request ?? meant(what, state, services, atUnixMs);
      return decide(ask, what, number, handed, state, atUnixMs);
    });
    number = numberOf(entry?.events ?? []) ?? number;
    const { target } = requestOf(services.desk.state, number);
    return { ...cardReply(services, "done", [TOLD[what]]), title: `#${number} ${target.name}: ${what}` };
  },
});

const TOLD: Readonly<Record<What, string>> = {
  taken: "Its owner knows that it has begun.",
  done: "Its owner is told.",
  failed: "Its owner is told why, and that it can be put back.",
  stopped: "Its owner is told why.",
};

function refuseSelfDriven(services: Services): void {
  if (services.telescope().traits.takenBy !== "queue") return;
  throw new Refusal(
    "not-by-hand",
    "This telescope says by itself what becomes of a request; /cancel now stops what is under way.",
  );
}

/** The one under way; for `taken` the next. */
function meant(what: What, state: State, { forecast }: Services, nowUnixMs: UtcMillis): number {
  if (state.taken) return state.taken.number;
  const step = what === "taken" ? forecast.nextStep(nowUnixMs) : null;
  if (step?.do === "take") return step.request.number;
  throw new Refusal(
    "nothing-meant",
    what === "taken"
      ? "There is nothing to take now; /mark says why, and /queue shows what waits."
      : `Nothing is under way: type /mark 12 taken when you begin one, then /mark 12 ${what}.`,
  );
}

function decide(
  { call, values, services }: MarkAsk,
  what: What,
  number: number,
  handed: readonly FrameRecord[],
  state: State,
  nowUnixMs: UtcMillis,
): NightslateEvent[] {
  if (what === "taken") return takeOnWord(state, number, nowUnixMs, services.forecast);
  const request = requestOf(state, number);
  if (request.state !== "taken") throw notUnderWay(number, request.state, what);
  if (what === "done")
    return [
      ...handed.map((frame) => ({ type: "frame.done", number, frame }) as const),
      { type: "request.completed", number },
    ];
  if (what === "failed")
    return [{ type: "request.failed", number, reason: values.reason ?? "the operator got no usable frame" }];
  return [cancelEvent(state, [number], values.reason ?? "stopped by the operator", call.asker.id)];
}

/** Files that were named, kept as the next frames of what is under way, before anything is said of it. */
async function keepFrames({ call, values, services }: MarkAsk): Promise<FrameRecord[]> {
  const { frames, what } = values;
  if (frames === undefined) return [];
  if (what !== "done")
    throw new Refusal("not-done", "Frames go with done: type /mark 12 done frames=m13-1.fits.");
  // A path names a file of the machine that runs the program: only whoever sits at it may.
  if (call.from.surface !== "terminal")
    throw new Refusal(
      "not-here",
      "Files are named at the terminal of the machine they lie on; here, mark it done without them.",
    );
  const { taken, requests } = services.desk.state;
  const request = taken && requests.get(taken.number);
  if (!request || !services.keepHanded || (values.request ?? taken.number) !== taken.number) return [];
  const kept: FrameRecord[] = [];
  for (const path of frames.split(",").map((each) => each.trim()))
    if (path !== "")
      kept.push(await keepOne(path, request, request.framesDone + kept.length + 1, services.keepHanded));
  return kept;
}

async function keepOne(
  path: string,
  request: Request,
  index: number,
  keep: NonNullable<Services["keepHanded"]>,
): Promise<FrameRecord> {
  try {
    return await keep(request, index, { path });
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException;
    const why = code === "ENOENT" ? "There is no such file." : message;
    throw new Refusal(
      "frame-unreadable",
      `${path} cannot be kept, so #${request.number} is still under way: ${why}`,
      { cause: error },
    );
  }
}

function notUnderWay(number: number, is: string, what: What): Refusal {
  const help = is === "waiting" ? `type /mark ${number} taken when it begins` : "/queue shows what waits";
  return new Refusal("not-under-way", `#${number} is ${is}, so it cannot be marked ${what}: ${help}.`);
}

/** A repeated press is answered with what the first one did. */
function numberOf(events: readonly NightslateEvent[]): number | null {
  for (const event of events) {
    if (event.type === "requests.cancelled") return event.numbers[0] ?? null;
    if (/^request\.(taken|completed|failed)$/.test(event.type) && "number" in event) return event.number;
  }
  return null;
}

function cardReply(services: Present, tone: "answer" | "done", first: readonly string[]): Reply {
  const { title, lines, actions } = operatorCard(services);
  const heading = first.length > 0 ? [say`${title}.`] : [];
  return { tone, title, lines: [...first.map((each) => [each]), ...heading, ...lines], actions };
}
