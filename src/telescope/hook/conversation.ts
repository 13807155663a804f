/** What the observatory's control program says, dealt with: each event once, in whatever order they come. */
import type { CallOff } from "../../base/clock.js";
import { count } from "../../base/english.js";
import { Refusal } from "../../base/refusal.js";
import { SECOND, type UtcMillis } from "../../base/units.js";
import { takenEvents } from "../../estimates/taking.js";
import type { Equipment } from "../../journal/events.js";
import type { StoppingState } from "../../journal/state.js";
import type { Request } from "../../queue/request.js";
import { equipmentEvents } from "../driver.js";
import { frameOrder } from "../frames/frame-order.js";
import type { Action, LinkHost, Progress } from "../link.js";
import type { Conversation } from "./listener.js";
import type { EventAnswer, HookEvent, NextAnswer } from "./messages.js";
import { holdReason, OFFER_HOLDS, observeAnswer, stopAnswer, underWayAnswer, waitAnswer } from "./next.js";
import { isDiskTrouble, keepPicture, type Pictures } from "./pictures.js";
import { ProgramWork } from "./program-work.js";
import { framesOf, requestAnswer, standingWords } from "./request-answer.js";

type Told<Type extends HookEvent["type"]> = Extract<HookEvent, { type: Type }>;
type Heard = Awaited<ReturnType<Conversation["hear"]>>;
/** What became of an event, before how things stand is added. */
interface Verdict {
  readonly outcome: EventAnswer["outcome"];
  readonly said: string;
  /** Default: 200, or 409 when it is refused. */
  readonly status?: number;
}

/** A disk that refuses is asked again by the driver; the program does not wait so long for its answer. */
const STORE_WAIT = 5 * SECOND;

export class ProgramConversation implements Conversation {
  private work: ProgramWork | null = null;
  private stopping: { readonly number: number; readonly reason: string | null; stands: () => void } | null =
    null;
  private offer: { readonly number: number; readonly untilUnixMs: UtcMillis } | null = null;
  /** By event id: one that is sent again meanwhile gets the same answer. */
  private readonly inHand = new Map<string, Promise<Heard>>();
  /** When the newest that is known of each part was told. */
  private readonly toldOf = new Map<string, UtcMillis>();

  /** @param stopMs how long the program may take to say that it has stopped */
  constructor(
    private readonly host: LinkHost,
    private readonly pictures: Pictures,
    private readonly stopMs: number,
  ) {}

  begin(action: Action, progress: Progress): void {
    this.work = new ProgramWork(action, progress, this.host.clock);
    this.offer = null;
  }

  /** Resolves when the program says that it has stopped; rejects when it does not in time. */
  stop({ number, reason }: Pick<StoppingState, "number" | "reason">): Promise<void> {
    const { clock } = this.host;
    return new Promise((done, fail) => {
      let callOff: CallOff = () => {};
      const stands = (): void => {
        callOff();
        this.stopping = null;
        done();
      };
      callOff = clock.at(clock.now() + this.stopMs, () => {
        this.stopping = null;
        fail(new Error("the control program has not said that it stopped"));
      });
      this.stopping = { number, reason, stands };
    });
  }

  next(): NextAnswer {
    const { clock, config, forecast } = this.host;
    const { observatory } = config;
    const state = this.host.state();
    const now = clock.now();
    if (this.stopping) return stopAnswer(this.stopping.number, this.stopping.reason, now);
    const work = this.current();
    if (work) {
      const request = state.requests.get(work.number) as Request;
      return underWayAnswer(state, request, work.action.exposingUnixMs, now, observatory);
    }
    if (state.taken || state.stopping) {
      const because = state.hold?.people ? "hold" : "busy";
      return waitAnswer(state, { do: "wait", because, untilUnixMs: now + SECOND }, now);
    }
    const step = forecast.nextStep(now, this.standingOffer(now) ?? undefined);
    if (step.do === "wait") return waitAnswer(state, step, now);
    const { number, exposingUnixMs } = step.turn;
    const untilUnixMs = this.offered(number, now);
    return observeAnswer(state, step.request, { untilUnixMs, exposingUnixMs }, observatory);
  }

  hear(event: HookEvent, frame: Uint8Array | null): Promise<Heard> {
    const known = this.inHand.get(event.id);
    if (known) return known;
    const heard = this.answer(event, frame).finally(() => this.inHand.delete(event.id));
    this.inHand.set(event.id, heard);
    return heard;
  }

  private async answer(event: HookEvent, frame: Uint8Array | null): Promise<Heard> {
    const { outcome, said, status } = await this.deal(event, frame);
    const request = event.type === "equipment" ? null : requestAnswer(this.host.state(), event.number);
    return {
      status: status ?? (outcome === "refused" ? 409 : 200),
      answer: { outcome, said, request, next: this.next() },
    };
  }

  private deal(event: HookEvent, frame: Uint8Array | null): Verdict | Promise<Verdict> {
    const state = this.host.state();
    if (state.onceKeys.has(keyOf(event))) return already("This was told before.");
    if (event.type === "equipment") return this.equipment(event);
    if (!state.requests.has(event.number))
      return { ...refused(standingWords(state, event.number)), status: 404 };
    if (event.type === "taken") return this.taken(event);
    if (event.type === "stopped") return this.stopped(event);
    const work = this.current();
    if (work?.number !== event.number) return this.tooLate(event);
    switch (event.type) {
      case "exposing":
        return this.exposing(event, work);
      case "frame":
        return this.frame(event, work, frame);
      case "done":
        return this.done(event, work);
      case "failed":
        return this.failed(event.reason, event, work);
    }
  }

  private async taken(event: Told<"taken">): Promise<Verdict> {
    const { clock, forecast } = this.host;
    const { number } = event;
    const state = this.host.state();
    if (state.taken?.number === number) return already(`#${number} is taken already.`);
    if (state.taken) return refused(`#${state.taken.number} is under way: say first what became of it.`);
    if (state.stopping) return refused(`#${state.stopping.number} has to be stopped first.`);
    if (state.requests.get(number)?.state !== "waiting") return refused(standingWords(state, number));
    const step = forecast.nextStep(clock.now(), number);
    if (step.do === "wait" && step.because === "hold")
      return refused(`Nothing may be taken now: ${holdReason(state)}.`);
    if (step.do === "wait") return refused(`#${number} cannot be observed now.`);
    if (this.standingOffer(clock.now()) !== number && !this.isNext(number))
      return refused(`#${number} is not what is to be observed now: ask GET /telescope/next.`);
    return this.take(event);
  }

  /** Looks once more at the instant of the decision, so that no hold slips between. */
  private async take(event: Told<"taken">): Promise<Verdict> {
    const { number } = event;
    const { entry } = await this.host.act(
      (state, now) => {
        const step = this.host.forecast.nextStep(now, number);
        return state.taken || state.stopping || step.do === "wait" ? [] : takenEvents(state, step.turn);
      },
      { onceKey: keyOf(event) },
    );
    if (entry) return accepted(`#${number} is taken: go on.`);
    return refused(`Nothing may be taken now: ${holdReason(this.host.state())}.`);
  }

  private exposing({ number, frame, at }: Told<"exposing">, work: ProgramWork): Verdict {
    const { frames } = work.action.request;
    if (frame > frames) return refused(tooMany(number, frames));
    return work.exposing(frame, work.when(at))
      ? accepted(`Frame ${frame} of ${frames} is being exposed.`)
      : already("A later exposure is known.");
  }

  private async frame(event: Told<"frame">, work: ProgramWork, sent: Uint8Array | null): Promise<Verdict> {
    const { number, frame: index, at, startedAt, file } = event;
    const { request } = work.action;
    if (index > request.frames) return refused(tooMany(number, request.frames));
    const state = this.host.state();
    if (framesOf(state, state.requests.get(number) as Request).includes(index))
      return already(`Frame ${index} is here.`);
    const atUnixMs = work.when(at);
    const { readOutSeconds } = this.host.config.observatory.camera;
    const startUnixMs = startedAt ? work.when(startedAt) : work.startOf(index, atUnixMs, readOutSeconds);
    const order = frameOrder({ request, index, startUnixMs }, state, this.host.config);
    try {
      const kept = work.frame(
        index,
        () => keepPicture(this.pictures, order, sent, file),
        atUnixMs,
        keyOf(event),
      );
      await this.stored(kept);
    } catch (error) {
      if (error instanceof Refusal && error.code === "no-frame")
        return { ...refused(error.message), status: 422 };
      if (error instanceof Refusal || !isDiskTrouble(error as Error)) throw error;
      await this.stored(work.unkept(error as Error, atUnixMs, keyOf(event)));
    }
    return this.came(number, index) ? accepted(`Frame ${index} is kept.`) : this.tooLate(event);
  }

  private async done(event: Told<"done">, work: ProgramWork): Promise<Verdict> {
    const { number, frames, at } = event;
    const come = this.framesHere(number);
    if (frames !== undefined && come < frames)
      return refused(`${come} of ${frames} frames have come: send the rest, then this again.`);
    await this.stored(work.ended(work.when(at), keyOf(event)));
    return this.isNow(number, "completed") ? accepted(`#${number} is completed.`) : this.tooLate(event);
  }

  private async failed(
    reason: string,
    event: Told<"failed" | "stopped">,
    work: ProgramWork,
  ): Promise<Verdict> {
    const { number, at } = event;
    await this.stored(work.failed(reason, work.when(at), keyOf(event)));
    return this.isNow(number, "failed") ? accepted(`#${number} has failed: ${reason}.`) : this.tooLate(event);
  }

  private stopped(event: Told<"stopped">): Verdict | Promise<Verdict> {
    const { number, reason } = event;
    if (this.endStop(number)) return accepted(`#${number} has been stopped.`);
    const work = this.current();
    if (work?.number !== number) return this.tooLate(event);
    const why =
      reason === undefined ? "it was stopped at the telescope" : `stopped at the telescope: ${reason}`;
    return this.failed(why, event, work);
  }

  private async equipment(event: Told<"equipment">): Promise<Verdict> {
    const { id: _id, at, type: _type, ...parts } = event;
    const atUnixMs = Math.min(Date.parse(at), this.host.clock.now());
    const news = Object.entries(parts).filter(([part]) => atUnixMs >= (this.toldOf.get(part) ?? 0));
    if (news.length === 0) return already("Newer is known of it.");
    const changes = Object.fromEntries(news) as Partial<Equipment>;
    await this.host.act((state) => equipmentEvents(state, changes), { onceKey: keyOf(event) });
    for (const [part] of news) this.toldOf.set(part, atUnixMs);
    const { dome } = this.host.state().equipment;
    if (changes.dome !== undefined && changes.dome !== dome)
      return accepted(`Noted; but staff keep the dome shut until they say otherwise.`);
    return accepted(`Noted: ${news.map(([part, is]) => `${part} ${is}`).join(", ")}.`);
  }

  /** Told of a request that is not under way, or is no longer. */
  private tooLate({ type, number }: Exclude<HookEvent, { type: "equipment" }>): Verdict {
    const state = this.host.state();
    const request = state.requests.get(number) as Request;
    if (request.state === "taken")
      throw new Refusal("not-stored", `#${number} is only being taken up: send it again.`);
    const stands = standingWords(state, number);
    const said =
      request.state === "waiting" ? `${stands} Before anything else, tell that it is taken.` : stands;
    const isSo =
      (type === "done" && request.state === "completed") ||
      (type === "failed" && request.state === "failed") ||
      (type === "stopped" && request.state !== "waiting");
    if (isSo) return already(said);
    const ends = type === "done" || type === "failed";
    return refused(ends && this.endStop(number) ? `${said} That it has ended is noted.` : said);
  }

  /** Whether a stop of this one was waited for. */
  private endStop(number: number): boolean {
    if (this.stopping?.number !== number) return false;
    this.stopping.stands();
    return true;
  }

  /** The action under way, once the driver has handed it over. */
  private current(): ProgramWork | null {
    const { taken } = this.host.state();
    return this.work &&
      taken?.number === this.work.number &&
      taken.takenUnixMs === this.work.action.takenUnixMs
      ? this.work
      : null;
  }

  private standingOffer(now: UtcMillis): number | null {
    if (!this.offer || this.offer.untilUnixMs <= now) return null;
    return this.host.forecast.nextStep(now, this.offer.number).do === "take" ? this.offer.number : null;
  }

  /** Until when it may be taken; an offer that stands is not renewed. */
  private offered(number: number, now: UtcMillis): UtcMillis {
    if (this.offer?.number === number && this.offer.untilUnixMs > now) return this.offer.untilUnixMs;
    this.offer = { number, untilUnixMs: now + OFFER_HOLDS };
    return this.offer.untilUnixMs;
  }

  private isNext(number: number): boolean {
    const step = this.host.forecast.nextStep(this.host.clock.now());
    return step.do === "take" && step.turn.number === number;
  }

  private came(number: number, index: number): boolean {
    const state = this.host.state();
    return framesOf(state, state.requests.get(number) as Request).includes(index);
  }

  private framesHere(number: number): number {
    const state = this.host.state();
    return framesOf(state, state.requests.get(number) as Request).length;
  }

  private isNow(number: number, is: Request["state"]): boolean {
    return this.host.state().requests.get(number)?.state === is;
  }

  private stored(told: Promise<void>): Promise<void> {
    const { clock } = this.host;
    return new Promise((done, fail) => {
      const callOff = clock.at(clock.now() + STORE_WAIT, () =>
        fail(new Refusal("not-stored", "This is not in the journal yet: send it again.")),
      );
      told.then(done, fail).finally(callOff);
    });
  }
}

/** One event of the program's is acted on once, also after a restart. */
function keyOf({ id }: HookEvent): string {
  return `hook:${id}`;
}

function tooMany(number: number, frames: number): string {
  return `#${number} asks for ${count(frames, "frame")} and no more.`;
}

const accepted = (said: string): Verdict => ({ outcome: "accepted", said });
const already = (said: string): Verdict => ({ outcome: "already", said });
const refused = (said: string): Verdict => ({ outcome: "refused", said });
