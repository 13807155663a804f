/** Tonight as the central run foresees it, request by request; what is costly is worked out when first asked for. */
import { type Degrees, SECOND, type UtcMillis } from "../base/units.js";
import type { NightInput, NightRun, Turn } from "../forecast/night-run.js";
import { startOf } from "../forecast/night-start.js";
import { playNight } from "../forecast/play-night.js";
import type { Request, RuleName } from "../queue/request.js";
import { type TargetNights, targetNights } from "../queue/target-night.js";
import { horizontalOf } from "../sky/track.js";
import type { Estimate } from "./forecast-service.js";
import { Outlook } from "./outlook.js";

export class ForeseenNight {
  private readonly places: ReadonlyMap<number, number>;
  private readonly others = new Map<RuleName, ForeseenNight>();
  private readonly nights: TargetNights;
  private outlook: Outlook | null = null;
  private lifted: ForeseenNight | null = null;
  private requests: ReadonlyMap<number, Request> | null = null;
  private inOrder: readonly Estimate[] | null = null;

  /** @param run of this input, where it has been played already */
  constructor(
    readonly input: NightInput,
    readonly run: NightRun = playNight(input),
  ) {
    this.nights = targetNights(input.nowUnixMs, input.observatory);
    this.places = new Map(this.run.turns.map((turn, index) => [turn.number, index]));
  }

  /** Whether a request waits in this night. */
  has(number: number): boolean {
    return this.places.has(number) || this.run.withoutTurn.has(number);
  }

  /** Looks through the week to come when there is no turn tonight; null for a number that does not wait. */
  estimate(number: number): Estimate | null {
    const estimate = this.briefly(number);
    if (estimate === null || estimate.turn !== null) return estimate;
    const laterUnixMs = this.weekAhead().startUnixMs(number);
    return { ...estimate, laterUnixMs, notThisWeek: laterUnixMs === null && !this.heldWithoutEnd() };
  }

  /** When a request that has a turn would run if it came to nothing tonight; null as for `laterUnixMs`. */
  ifNotTonight(number: number): UtcMillis | null {
    const { waiting } = this.input;
    const left = waiting.filter((each) => each.number === number || this.run.withoutTurn.has(each.number));
    return new Outlook(this.input, left).startUnixMs(number);
  }

  /**
   * All waiting requests: those with a turn in its order, then the rest by number. While a hold takes up the
   * night nobody has a turn; then they stand in the order in which they would run if it ended now.
   */
  order(): readonly Estimate[] {
    this.inOrder ??= this.numbersInOrder().map((number) => this.briefly(number) as Estimate);
    return this.inOrder;
  }

  /** The same queue under another rule. */
  underRule(rule: RuleName): ForeseenNight {
    if (rule === this.input.rule) return this;
    const known = this.others.get(rule) ?? new ForeseenNight({ ...this.input, rule });
    this.others.set(rule, known);
    return known;
  }

  /** The same night; where a hold takes up all of it, as it would be if the hold were lifted now. */
  ifLifted(): ForeseenNight {
    if (!this.heldAllNight()) return this;
    this.lifted ??= new ForeseenNight({ ...this.input, holdUntilUnixMs: null });
    return this.lifted;
  }

  /**
   * When the window of a turn opens or its own "not before" passes, whichever is later, or when its target stands
   * as high as is worth waiting for; null when all that is past.
   */
  notBefore({ number, takenUnixMs }: Turn): UtcMillis | null {
    const { nowUnixMs, worthwhileAltitudeDegrees } = this.input;
    const request = this.request(number);
    if (request === undefined) return null;
    const { windows } = this.nights(request.target);
    const window = windows.find((each) => takenUnixMs < each.closeUnixMs);
    const first = Math.max(window?.openUnixMs ?? nowUnixMs, request.notBeforeUnixMs ?? nowUnixMs);
    // With nobody before it and nothing to forbid it, it is height that it waits for.
    if (worthwhileAltitudeDegrees != null && takenUnixMs - Math.max(first, this.freeBefore(number)) >= SECOND)
      return takenUnixMs;
    return first > nowUnixMs ? first : null;
  }

  private freeBefore(number: number): UtcMillis {
    const before = this.run.turns[(this.places.get(number) ?? 0) - 1];
    return before?.freeUnixMs ?? startOf(this.input);
  }

  /** What the central run says of it, without a look at the week to come. */
  briefly(number: number): Estimate | null {
    const index = this.places.get(number);
    const turn = index === undefined ? null : (this.run.turns[index] ?? null);
    const noTurn = this.run.withoutTurn.get(number) ?? null;
    if (turn === null && noTurn === null) return null;
    const startUnixMs = turn?.takenUnixMs ?? null;
    const notBeforeUnixMs = turn === null ? null : this.notBefore(turn);
    return {
      ...(notBeforeUnixMs === null ? {} : { notBeforeUnixMs }),
      number,
      place: index === undefined ? null : index + 1,
      startUnixMs,
      earliestUnixMs: startUnixMs,
      latestUnixMs: startUnixMs,
      chanceTonight: turn === null ? 0 : 1,
      altitudeDegrees: turn?.altitudeDegrees ?? null,
      turn,
      noTurn,
      laterUnixMs: null,
    };
  }

  /** True altitude when exposures begin if a turn is taken at another instant of the night. */
  altitudeDegrees({ number, times }: Turn, takenUnixMs: UtcMillis): Degrees | null {
    const request = this.request(number);
    if (request === undefined) return null;
    return horizontalOf(this.nights(request.target).track, takenUnixMs + times.readyMs).altitudeDegrees;
  }

  private request(number: number): Request | undefined {
    this.requests ??= new Map(this.input.waiting.map((request) => [request.number, request]));
    return this.requests.get(number);
  }

  private numbersInOrder(): readonly number[] {
    const { turns, withoutTurn } = this.ifLifted().run;
    const rest = [...withoutTurn.keys()].sort((a, b) => a - b);
    return [...turns.map((turn) => turn.number), ...rest];
  }

  private heldAllNight(): boolean {
    const { holdUntilUnixMs, untilUnixMs } = this.input;
    return holdUntilUnixMs !== null && holdUntilUnixMs >= untilUnixMs;
  }

  private heldWithoutEnd(): boolean {
    return this.input.holdUntilUnixMs === Number.POSITIVE_INFINITY;
  }

  private weekAhead(): Outlook {
    const { withoutTurn } = this.run;
    this.outlook ??= new Outlook(
      this.input,
      this.input.waiting.filter((request) => withoutTurn.has(request.number)),
    );
    return this.outlook;
  }
}
