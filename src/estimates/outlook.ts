/** The nights after tonight: when could a request run that has no turn now? Each night is played only when asked for. */
import type { UtcMillis } from "../base/units.js";
import type { NightInput } from "../forecast/night-run.js";
import { playNight } from "../forecast/play-night.js";
import { parkedPointing } from "../observatory/pointing.js";
import { NO_PLAN } from "../queue/planner/plan.js";
import type { Request } from "../queue/request.js";
import { type Night, nightOf } from "../sky/night.js";

/** How far a promise can reasonably reach. */
const NIGHTS_AHEAD = 7;

export class Outlook {
  private readonly starts = new Map<number, UtcMillis>();
  private left: readonly Request[];
  private night: Night;
  private played = 0;

  /**
   * @param tonight what tonight's run was made from
   * @param left its requests without a turn: they alone compete on the nights to come
   */
  constructor(
    private readonly tonight: NightInput,
    left: readonly Request[],
  ) {
    this.left = left;
    this.night = nightOf(tonight.nowUnixMs, tonight.observatory.site.timeZone);
  }

  /** When the request would be taken; null when not within a week, or while a hold has no end. */
  startUnixMs(number: number): UtcMillis | null {
    if (this.tonight.holdUntilUnixMs === Number.POSITIVE_INFINITY) return null;
    while (!this.starts.has(number) && this.played < NIGHTS_AHEAD) this.playNext();
    return this.starts.get(number) ?? null;
  }

  private playNext(): void {
    const { observatory } = this.tonight;
    this.night = nightOf(this.night.endUnixMs, observatory.site.timeZone);
    this.played++;
    const { turns } = playNight({
      ...this.tonight,
      nowUnixMs: this.night.startUnixMs,
      untilUnixMs: this.night.endUnixMs,
      waiting: this.left,
      current: null,
      pointing: parkedPointing(observatory),
      takenTonight: new Map(),
      plan: NO_PLAN,
    });
    for (const turn of turns) this.starts.set(turn.number, turn.takenUnixMs);
    this.left = this.left.filter((request) => !this.starts.has(request.number));
  }
}
