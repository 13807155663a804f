/** /mark: an operator says what has become of a request at a telescope that is worked by hand. */
import { say } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import type { UtcMillis } from "../../base/units.js";
import { takeOnWord } from "../../estimates/taking.js";
import type { Acted } from "../../journal/desk.js";
import type { FrameRecord, NightslateEvent } from "../../journal/events.js";
import type { State } from "../../journal/state.js";
import { verdictWords } from "../../notices/words/verdicts.js";
import type { Request } from "../../queue/request.js";
import { cancelEvent } from "../cancelling.js";
import { type Ask, defineCommand, type Values } from "../define.js";
import { Offer } from "../offer.js";
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
    kind: "files",
    most: 20,
    onlyWith: { option: "what", choices: ["done"] },
    help: "Its FITS files, in the order in which they were taken",
  },
  {
    name: "reason",
    kind: "text",
    onlyWith: { option: "what", choices: ["failed", "stopped"] },
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
    let number = 0;
    const { entry } = await withFrames(ask, (handed) =>
      ask.act((state, atUnixMs) => {
        number = values.request ?? meant(what, state, services, atUnixMs);
        return decide(ask, what, number, handed, state, atUnixMs);
      }),
    );
    number = numberOf(entry?.events ?? []) ?? number;
    const request = requestOf(services.desk.state, number);
    const kept = (entry?.events ?? []).flatMap((event) => (event.type === "frame.done" ? [event.frame] : []));
    return {
      ...cardReply(services, "done", [TOLD[what], ...kept.map(keptWords)]),
      title: `#${number} ${request.target.name}: ${what}`,
      frames: kept.map((frame) => ({ request, frame })),
    };
  },
});

const TOLD: Readonly<Record<What, string>> = {
  taken: "Its owner knows that it has begun.",
  done: "Its owner is told.",
  failed: "Its owner is told why, and that it can be put back.",
  stopped: "Its owner is told why.",
};

function keptWords({ index, verdict }: FrameRecord): string {
  return `Frame ${index} is kept${verdict ? `, ${verdictWords(verdict)}` : ""}.`;
}

function refuseSelfDriven(services: Services): void {
  if (services.telescope().traits.takenBy !== "queue") return;
  throw new Refusal(
    "not-by-hand",
    "This telescope says by itself what becomes of a request; /cancel now stops what is under way.",
  );
}

/** The one under way; for `taken` the next. */
function meant(what: What, state: State, services: Services, nowUnixMs: UtcMillis): number {
  if (state.taken) return state.taken.number;
  const step = what === "taken" ? services.forecast.nextStep(nowUnixMs) : null;
  if (step?.do === "take") return step.request.number;
  if (what === "taken") {
    const { title, lines } = operatorCard({ ...services, now: nowUnixMs });
    throw new Offer("nothing-meant", [say`${title}.`, ...lines]);
  }
  throw new Refusal(
    "nothing-meant",
    `Nothing is under way: type /mark 12 taken when you begin one, then /mark 12 ${what}.`,
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

/** Keeps what was handed over as the next frames of what is under way, before anything is said of it. */
async function withFrames(
  { values, services }: MarkAsk,
  act: (handed: readonly FrameRecord[]) => Promise<Acted>,
): Promise<Acted> {
  const { frames = [] } = values;
  const { taken } = services.desk.state;
  // Whatever is wrong with the request itself is said first.
  if (
    frames.length === 0 ||
    !services.handOver ||
    !taken ||
    (values.request ?? taken.number) !== taken.number
  )
    return act([]);
  const brought: { readonly name: string; readonly path: string }[] = [];
  for (const { name, fetch } of frames) brought.push({ name, path: await fetch() });
  return services.handOver(async (keep) => {
    const request = requestOf(services.desk.state, taken.number);
    const before = services.desk.state.frames.get(request.number) ?? [];
    const kept: FrameRecord[] = [];
    for (const { name, path } of brought) {
      const index = request.framesDone + kept.length + 1;
      const frame = await keep(request, index, { path }).catch(cannotKeep(name, request));
      refuseTwice(name, frame, [...before, ...kept], request);
      kept.push(frame);
    }
    return act(kept);
  });
}

/** A camera exposes one frame at a time. */
function refuseTwice(
  name: string,
  { startUnixMs }: FrameRecord,
  kept: readonly FrameRecord[],
  { number }: Request,
): void {
  const same = kept.find((each) => each.startUnixMs === startUnixMs);
  if (same)
    throw new Refusal(
      "same-frame",
      `${name} began at the same instant as frame ${same.index}, so it is the same: leave it out. #${number} is still under way.`,
    );
}

function cannotKeep(name: string, { number }: Request): (error: NodeJS.ErrnoException) => never {
  return (error) => {
    const why = WHY_NOT[error.code ?? ""] ?? error.message;
    throw new Refusal(
      "frame-unreadable",
      `${name} cannot be kept, so #${number} is still under way: ${why}`,
      {
        cause: error,
      },
    );
  };
}

const WHY_NOT: Readonly<Record<string, string>> = {
  ENOENT: "There is no such file.",
  EISDIR: "It is a folder.",
  EACCES: "It may not be read.",
  ENOSPC: "The disk is full.",
};

function notUnderWay(number: number, is: string, what: What): Refusal {
  const over = is === "failed" || is === "completed";
  const help = over
    ? `an instructor can put it back with /return ${number}`
    : is === "waiting"
      ? `type /mark ${number} taken when it begins`
      : "/queue shows what waits";
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
